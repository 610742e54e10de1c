package plots

import (
	"bytes"
	"strings"
	"testing"

	"github.com/ledongthuc/pdf"
)

func TestParseSize(t *testing.T) {
	for in, want := range map[string]Size{
		"1920x1080":    {1920, 1080},
		"1080×1920":    {1080, 1920},
		"3840X2160":    {3840, 2160},
		" 640 x  480 ": {640, 480},
	} {
		if got, err := ParseSize(in); err != nil || got != want {
			t.Errorf("ParseSize(%q) = %v, %v, want %v", in, got, err, want)
		}
	}
	for _, in := range []string{"", "1920", "x", "1920x", "axb", "0x0", "-5x300", "100x100", "1e3x400", "99999x400", "300x300x300"} {
		if got, err := ParseSize(in); err == nil {
			t.Errorf("ParseSize(%q) = %v, want an error", in, got)
		}
	}
}

func TestOptionsNameTheRightValues(t *testing.T) {
	for o, word := range map[Options]string{
		{Format: "gif"}:       "png, svg or pdf",
		{Theme: "blue"}:       "light or dark",
		{Size: Size{10, 10}}:  "pixels",
		{Size: Size{1920, 0}}: "pixels",
	} {
		if _, err := o.withDefaults(); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%+v: error %v, want one that names %q", o, err, word)
		}
	}
	o, err := Options{}.withDefaults()
	if err != nil || o.Size != DefaultSize() || o.Format != PNG || o.Theme != Light {
		t.Errorf("zero options became %+v, error %v", o, err)
	}
}

func TestPDFIsOnePageOfThatSize(t *testing.T) {
	tr, flags := priceTrend(58)
	b, err := Render(mustTrend(t, tr, flags), Options{Format: PDF, Size: Size{800, 600}, Theme: Dark})
	if err != nil {
		t.Fatal(err)
	}
	r, err := pdf.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	if n := r.NumPage(); n != 1 {
		t.Errorf("%d pages, want 1", n)
	}
	box := r.Page(1).V.Key("MediaBox")
	if box.IsNull() {
		box = r.Page(1).V.Key("Parent").Key("MediaBox")
	}
	if w, h := box.Index(2).Float64(), box.Index(3).Float64(); w != 800 || h != 600 {
		t.Errorf("page of %v×%v points, want 800×600", w, h)
	}
	if got := r.Trailer().Key("Info").Key("Title").Text(); !strings.HasPrefix(got, "Pellbrook FK-113, Skerrow CR-939 and") {
		t.Errorf("title %q", got)
	}
}
