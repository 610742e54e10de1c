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
	return Page{Title: bad, About: bad, Sections: []Section{{ID: "one", Title: bad, Points: []string{bad},
		Charts: []Chart{{Wide: []byte(`<svg xmlns="http://www.w3.org/2000/svg"></svg>`), Upright: []byte(`<svg xmlns="http://www.w3.org/2000/svg"></svg>`)}},
		Tables: []Table{{ID: "t", Caption: bad, Columns: []Column{{Words: bad}, {Words: "n", Numeric: true}},
			Rows: [][]Cell{{{Text: bad}, {Text: bad, Value: 1.5}}, {{Text: "Skerrow"}, {Text: "–", Value: math.NaN()}}}}}}}}
}

// The policy's hashes are those of what stands between the tags, byte by byte:
// otherwise a browser shows the page without style and does not sort.
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
	for _, want := range []string{`<html lang="en">`, `aria-sort="none"`, `scope="col"`, `<button type="button">n</button>`, `data-key="1.5"`, `data-key=""`,
		`tabindex="0" role="region"`, `aria-live="polite"`, `name="viewport"`, `href="#one"`, `id="one"`} {
		if !strings.Contains(html, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	if dark := written(t, Page{Dark: true}); !strings.Contains(dark, `<html lang="en" class="dark">`) {
		t.Error("the dark page is not dark")
	}
}
