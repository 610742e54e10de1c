package main

import (
	"encoding/json"
	"math"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestParseWhatIf(t *testing.T) {
	for in, want := range map[string]map[string]string{
		"price=8.99":                            {"price": "8.99"},
		"price=8,99, media_area=350cm²":         {"price": "8,99", "media_area": "350cm²"},
		"can_gauge=0,47; 0,48,media_type=blend": {"can_gauge": "0,47; 0,48", "media_type": "blend"},
		"maker=A=B":                             {"maker": "A=B"},
		"price=,media_area = 350 ":              {"price": "", "media_area": "350"},
	} {
		got, err := parseWhatIf(in)
		if err != nil {
			t.Errorf("%s: %v", in, err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: (-want +got)\n%s", in, diff)
		}
	}
	for _, in := range []string{"", "8.99", "=3", "price=1,price=2", "colour=red"} {
		if got, err := parseWhatIf(in); err == nil {
			t.Errorf("%q is taken as %v", in, got)
		}
	}
}

type judged struct {
	Maker, Part   string
	Paid, Fair    float64
	Base          float64
	Verdict       string
	Contributions []struct{ Factor float64 }
	Parts         []judged
}

// What is asked about a part's own price is what the log says of the part.
func TestPriceAndWhatIfAgree(t *testing.T) {
	ask := func(args ...string) judged {
		t.Helper()
		r := call("", append([]string{"price", demoLog, "--json"}, args...)...)
		want(t, r, 0)
		var j judged
		if err := json.Unmarshal([]byte(r.stdout), &j); err != nil {
			t.Fatal(err)
		}
		return j
	}
	own := ask("--part", "Veldmarsh VM2146")
	product := own.Base
	for _, c := range own.Contributions {
		product *= c.Factor
	}
	if math.Abs(product/own.Fair-1) > 1e-9 {
		t.Errorf("base times all factors is %g, fair %g", product, own.Fair)
	}
	if own.Verdict != "overpriced" {
		t.Errorf("the planted part is judged %q", own.Verdict)
	}
	other := ask("--part", "Veldmarsh VM2146", "--what-if", "price=9")
	if math.Abs(other.Paid-9) > 1e-9 || math.Abs(other.Fair/own.Fair-1) > 1e-9 || other.Verdict == "overpriced" {
		t.Errorf("at another price: %+v, at its own: %+v", other, own)
	}
	all := ask()
	if len(all.Parts) == 0 || all.Parts[0].Part != own.Part {
		t.Errorf("the dearest for its contents is %+v", all.Parts)
	}
}

// Rows from standard input are judged against the log, one verdict each.
func TestWhatIfRows(t *testing.T) {
	rows := "maker,part,price,media_area_cm2\nBrackhollow,new-1,8.99,350\nBrackhollow,new-2,,350\n"
	r := call(rows, "price", demoLog, "--what-if", "-", "--json")
	want(t, r, 0)
	var j judged
	if err := json.Unmarshal([]byte(r.stdout), &j); err != nil {
		t.Fatal(err)
	}
	if len(j.Parts) != 2 || j.Parts[0].Part != "new-1" || j.Parts[0].Fair != j.Parts[1].Fair || j.Parts[1].Paid != 0 {
		t.Errorf("got %+v", j.Parts)
	}
	want(t, call(rows, "price", demoLog, "--what-if", "-"), 0)
}

func TestPriceCharts(t *testing.T) {
	dir := t.TempDir()
	want(t, call("", "price", demoLog, "--plot", filepath.Join(dir, "all.svg"), "--size", "480x270"), 0)
	want(t, call("", "price", demoLog, "--part", "VM2146", "--plot", filepath.Join(dir, "one.png"), "--size", "480x270"), 0)
	if got := files(t, dir); len(got) != 3 { // two charts and the list
		t.Errorf("the folder holds %v", got)
	}
}
