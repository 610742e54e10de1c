package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
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
		"cost=8.99,brand=Skerrow,media=synthetic,adbv=orange silicone": {"price": "8.99", "maker": "Skerrow", "media_type": "synthetic", "drain_back": "orange silicone"},
		"media length (in)=41 3/8,wall=0.4 mm,folds=50":                {"media_length": "41 3/8 in", "can_gauge": "0.4 mm", "pleats": "50"},
	} {
		got, err := parseWhatIf(in)
		if err != nil {
			t.Errorf("%s: %v", in, err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: (-want +got)\n%s", in, diff)
		}
	}
	for _, in := range []string{"", "8.99", "=3", "price=1,price=2", "cost=1,price=2", "colour=red"} {
		if got, err := parseWhatIf(in); err == nil {
			t.Errorf("%q is taken as %v", in, got)
		}
	}
}

type judged struct {
	Maker, Part string
	Base        float64
	Verdict     struct {
		Grade, Direction, Why string
		Price, Fair           float64
	}
	Contributions []struct{ Factor float64 }
	Parts         []judged
}

// A what-if with the part's own price gives the verdict that the log gives.
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
	if math.Abs(product/own.Verdict.Fair-1) > 1e-4 {
		t.Errorf("base times all factors is %g, fair %g", product, own.Verdict.Fair)
	}
	if own.Verdict.Grade != "clear" || own.Verdict.Direction != "above" {
		t.Errorf("the planted part is judged %+v", own.Verdict)
	}
	other := ask("--part", "Veldmarsh VM2146", "--what-if", "price=9")
	if math.Abs(other.Verdict.Price-9) > 1e-9 || math.Abs(other.Verdict.Fair/own.Verdict.Fair-1) > 1e-9 || other.Verdict.Direction == "above" {
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
	if len(j.Parts) != 2 || j.Parts[0].Part != "new-1" || j.Parts[0].Verdict.Fair != j.Parts[1].Verdict.Fair || j.Parts[1].Verdict.Price != 0 {
		t.Errorf("got %+v", j.Parts)
	}
	want(t, call(rows, "price", demoLog, "--what-if", "-"), 0)
}

// Which contents had too little data for the verdicts is stated once: for all parts, for
// one part and for rows. So is why contents and area disagree.
func TestPriceTellsItsWarningsOnce(t *testing.T) {
	const left = "contents left out of the usual price"
	path := filepath.Join(t.TempDir(), "log.csv")
	var log strings.Builder
	log.WriteString("maker,part,price,media_area_cm2,magnet,can_gauge_mm\n")
	for i := range 14 {
		fmt.Fprintf(&log, "Skerrow,SK %d,%.2f,%d,no,\n", i, 6+0.5*float64(i)+0.3*float64(i%3), 300+25*i)
	}
	if err := os.WriteFile(path, []byte(log.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	rows := "maker,part,price,media_area_cm2\nLowmere,a,8,350\nLowmere,b,9,400\n"
	for _, args := range [][]string{
		{}, {"--part", "SK 3"}, {"--part", "SK 3", "--what-if", "price=9"}, {"--what-if", "price=9,media_area=400cm²"}, {"--what-if", "-"},
	} {
		r := call(rows, append([]string{"price", path}, args...)...)
		want(t, r, 0)
		if n := strings.Count(strings.ToLower(strings.Join(strings.Fields(r.stdout), " ")), left); n != 2 { // two reasons: too few parts have it, all parts have the same
			t.Errorf("%q tells %d warnings about the contents:\n%s", args, n, r.stdout)
		}
		if r := call(rows, append([]string{"price", path, "--json"}, args...)...); !strings.Contains(r.stdout, left) {
			t.Errorf("%q --json does not tell them:\n%s", args, r.stdout)
		}
	}
	for _, command := range [][]string{{"report", path}, {"report", path, "--json"}, {"compare", path, "SK 1", "SK 3"}} {
		if r := call("", command...); !strings.Contains(strings.ToLower(strings.Join(strings.Fields(r.stdout), " ")), left) {
			t.Errorf("%q does not tell them:\n%s", command, r.stdout)
		}
	}
	r := call("", "price", demoLog, "--part", "Wexcombe W 610", "--json")
	if !strings.Contains(r.stdout, `"why": "as expected by media area alone, which tells less exactly`) {
		t.Errorf("contents and area do not agree on this part:\n%s", r.stdout)
	}
}

// A misspelt part is not taken for a new one, unless it comes with contents.
func TestMisspeltPart(t *testing.T) {
	for _, args := range [][]string{{}, {"--what-if", "price=9"}} {
		r := call("", append([]string{"price", demoLog, "--part", "Skerow"}, args...)...)
		want(t, r, 1)
		if !strings.Contains(r.stderr, "the nearest maker is Skerrow: Skerrow SK 1204") {
			t.Errorf("%q: %s", args, r.stderr)
		}
	}
	want(t, call("", "price", demoLog, "--part", "Skerow", "--what-if", "price=9,media_area=60in²"), 0)
	if r := call("", "drift", demoLog, "--maker", "Skerow"); !strings.Contains(r.stderr, "did you mean Skerrow?") {
		t.Error(r.stderr)
	}
}

func TestPriceCharts(t *testing.T) {
	dir := t.TempDir()
	want(t, call("", "price", demoLog, "--plot", filepath.Join(dir, "all.svg"), "--size", "480x270"), 0)
	want(t, call("", "price", demoLog, "--part", "VM2146", "--plot", filepath.Join(dir, "one.png"), "--size", "480x270"), 0)
	if got := files(t, dir); len(got) != 3 { // two charts and the list
		t.Errorf("the folder holds %v", got)
	}
}
