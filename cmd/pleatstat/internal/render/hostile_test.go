package render_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"unicode"

	"github.com/mattn/go-runewidth"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/stats/trend"
)

// hostile holds names with characters that act on a terminal, a page or a spreadsheet.
var hostile = []string{
	"\x1b[31mSkerrow\x1b[0m", "\x1b]0;title\x07", "Skerrow\u202eworrekS", "Sker\u200brow", "a\nb", "a\rb", "a\tb", "\x00", "\u009b31m",
	"broken\xff\xfe", "\u2028line", "=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", "＝1+1", "\U000e0001tag", strings.Repeat("long ", 500),
	strings.Repeat("x", 5000), "船舶フィルター", "<script>alert(1)</script>",
}

func TestVisibleLeavesNothingThatActs(t *testing.T) {
	for _, s := range hostile {
		for _, r := range wording.Visible(s) {
			if wording.Hidden(r) || unicode.IsControl(r) {
				t.Errorf("%q: %U is still there in %q", s, r, wording.Visible(s))
			}
		}
	}
	for in, want := range map[string]string{
		"\x1b[31m": `\u001b[31m`, "a\nb": `a\nb`, "\xff": `\xff`, "\U000e0001": `\udb40\udc01`, "Thornquay É 7": "Thornquay É 7", `a\b`: `a\b`,
	} {
		if got := wording.Visible(in); got != want {
			t.Errorf("Visible(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestTextIsHarmlessAndFits(t *testing.T) {
	for _, s := range hostile {
		var b bytes.Buffer
		text := wording.NewText(&b, false)
		text.Heading(s)
		text.Para(s + " " + s)
		text.Item(wording.Name(s, s))
		text.Detail(s)
		text.Line(wording.Name(s, "x"))
		if err := text.Err(); err != nil {
			t.Fatal(err)
		}
		for line := range strings.SplitSeq(b.String(), "\n") {
			if w := runewidth.StringWidth(line); w > wording.Width {
				t.Errorf("%q: a line of %d columns: %q", s, w, line)
			}
			if strings.ContainsFunc(line, wording.Hidden) {
				t.Errorf("%q: control characters in %q", s, line)
			}
		}
	}
}

func TestJSONIsHarmlessAndTrue(t *testing.T) {
	for _, s := range hostile {
		var b bytes.Buffer
		if err := encode.JSON(&b, map[string]string{"name": s}); err != nil {
			t.Fatal(err)
		}
		if strings.ContainsFunc(strings.ReplaceAll(b.String(), "\n", ""), hiddenByJSON) {
			t.Errorf("%q: control characters in %q", s, b.String())
		}
		var back map[string]string
		if err := json.Unmarshal(b.Bytes(), &back); err != nil {
			t.Fatalf("%q: %v", s, err)
		}
		if back["name"] != strings.ToValidUTF8(s, "\ufffd") && back["name"] != perByte(s) {
			t.Errorf("%q came back as %q", s, back["name"])
		}
	}
}

// perByte replaces each broken byte by a replacement character, as encoding/json does.
func perByte(s string) string { return string([]rune(s)) }

func TestNumbersThatAreNone(t *testing.T) {
	var b bytes.Buffer
	err := encode.JSON(&b, []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0.1, 1e-300})
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(strings.Fields(b.String()), ""); got != "[null,null,null,0.1,1e-300]" {
		t.Errorf("got %s", got)
	}
}

// Spreadsheet programs take a text for a formula when it starts with one of
// = + - @ (OWASP, "CSV Injection").
func TestCSVRunsNothing(t *testing.T) {
	rows := make([][]string, len(hostile))
	for i, s := range hostile {
		rows[i] = []string{s}
	}
	var b bytes.Buffer
	if err := encode.CSV(&b, []string{"name"}, rows); err != nil {
		t.Fatal(err)
	}
	back, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range back {
		if cell := []rune(strings.TrimSpace(row[0])); len(cell) > 0 && strings.ContainsRune("=+-@＝＋－＠", cell[0]) {
			t.Errorf("a spreadsheet would run %q", row[0])
		}
		if strings.ContainsFunc(row[0], wording.Hidden) {
			t.Errorf("control characters in %q", row[0])
		}
	}
}

// hostileTrend returns a trend all of whose texts come from a hostile log.
func hostileTrend(s string) *trend.Trend {
	t := fewTrend()
	t.Response, t.Predictor, t.ID = s, s, s
	t.Warnings = []string{s}
	t.LeftOut, t.LeftOutReasons = 1, []trend.LeftOut{{Reason: s, Rows: 1}}
	return t
}

// hiddenByJSON reports whether a character must be escaped in JSON. Invalid UTF-8
// becomes the replacement character, which need not be.
func hiddenByJSON(r rune) bool { return r != '\n' && r != unicode.ReplacementChar && wording.Hidden(r) }
