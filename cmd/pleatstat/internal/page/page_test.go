package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"math"
	"regexp"
	"strings"
	"testing"
)

func written(t *testing.T, p Page) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func hostile() Page {
	bad := `</td></script><script>alert(1)</script>" onload="x`
	svg := func(colour string) []byte {
		return []byte(`<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0" fill="` + colour + `"/></svg>`)
	}
	say := func(kind string) Block {
		return Block{Kind: kind, Items: [][]Span{{{Text: bad}, {Text: bad, To: bad}}}}
	}
	both := Picture{Day: svg("#161b21"), Night: svg("#f4f6f8")}
	return Page{Title: bad, About: []string{bad}, Sections: []Section{{ID: "one", Title: bad,
		Blocks: []Block{say(""), say("list"), say("evidence"), say("laid")}, Charts: []Chart{{Wide: both, Upright: both}},
		Tables: []Table{{ID: "t", Caption: bad, Find: bad, Columns: []Column{{Words: bad, Head: true}, {Words: "n", Numeric: true}, {Words: bad}},
			Rows: []Row{{ID: bad, Cells: []Cell{{Text: bad}, {Text: bad, Value: 1.5, Mark: "above sure", Note: bad}, {Text: bad, Note: bad}}},
				{ID: "t-2", Cells: []Cell{{Text: "Skerrow"}, {Text: "–", Value: math.NaN()}, {Text: "x"}}}}}}}}}
}

// The policy's hashes are those of the bytes between the tags: otherwise a browser would
// show the page without style and would not sort.
func TestPolicyFitsThePage(t *testing.T) {
	html := written(t, hostile())
	for _, tag := range []string{"style", "script"} {
		m := regexp.MustCompile(`(?s)<`+tag+`>(.*?)</`+tag+`>`).FindAllStringSubmatch(html, -1)
		if len(m) != 1 {
			t.Fatalf("%d elements %s", len(m), tag)
		}
		sum := sha256.Sum256([]byte(m[0][1]))
		if want := tag + "-src &#39;sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "&#39;"; !strings.Contains(html, strings.ReplaceAll(want, "+", "&#43;")) {
			t.Errorf("the policy does not hold the hash of %s", tag)
		}
	}
	if !strings.Contains(html, "default-src &#39;none&#39;") || strings.Contains(html, "unsafe") {
		t.Error("the policy is not strict")
	}
}

func TestNamesAreText(t *testing.T) {
	html := written(t, hostile())
	if n := strings.Count(html, "<script"); n != 1 {
		t.Errorf("%d scripts", n)
	}
	if strings.Contains(html, `" onload="`) {
		t.Error("a name ends an attribute")
	}
	for _, far := range []string{"http://", "https://", "//cdn", "@import", "url("} {
		without := strings.ReplaceAll(html, "http://www.w3.org/2000/svg", "")
		if strings.Contains(without, far) {
			t.Errorf("the page holds %q", far)
		}
	}
}

func TestTablesTellReaders(t *testing.T) {
	html := written(t, hostile())
	for _, want := range []string{`<html lang="en">`, `<caption>`, `scope="col"`, `scope="row"`, `data-key="1.5"`, `data-key=""`, `class="figure above sure"`,
		`tabindex="0" role="region"`, `role="status"`, `name="viewport"`, `href="#one"`, `id="one"`, `<label for="find-t">`, `id="find-t"`, `class="skip" href="#content"`,
		`class="find" hidden`, `<details><summary>`} {
		if !strings.Contains(html, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	if strings.Contains(html, "<button") {
		t.Error("a button stands in the page that does nothing without script")
	}
	if dark := written(t, Page{Dark: true}); !strings.Contains(dark, `<html lang="en" class="dark">`) {
		t.Error("the dark page is not dark")
	}
}

// A drawing is in the page once, with its dark colours as rules; if light and dark differ
// in more than colours, both are.
func TestNightColours(t *testing.T) {
	html := written(t, hostile())
	if strings.Count(html, `fill="#161b21" class="n0"`) != 2 || !strings.Contains(html, ".n0 { fill: #f4f6f8; }") || strings.Contains(html, `"by-night"`) {
		t.Error("the night's colours are not rules")
	}
	n := nightColours{}
	day, night := []byte(`<svg><path fill="#000000"/></svg>`), []byte(`<svg><path fill="#ffffff"/><path/></svg>`)
	if got := n.merge(Picture{Day: day, Night: night}); !strings.Contains(got, `<div class="by-day">`+string(day)) || !strings.Contains(got, `<div class="by-night">`+string(night)) {
		t.Errorf("two different drawings give %s", got)
	}
}

// The description of a picture is text too.
func TestRasterNamesAreText(t *testing.T) {
	html := written(t, Page{Sections: []Section{{Charts: []Chart{{Wide: Picture{Day: Raster([]byte{1, 2}, `"><script>x</script>`)}}}}}})
	if strings.Count(html, "<script") != 1 || !strings.Contains(html, `src="data:image/png;base64,AQI="`) {
		t.Error("a picture's text is markup")
	}
}
