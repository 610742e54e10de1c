package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pleatstat/cmd/pleatstat/internal/logfile"
	"pleatstat/cmd/pleatstat/internal/render/cards"
	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/price"
)

// briefSentence matches the end of a sentence. It matches no number: the point of one is
// not followed by a space.
var briefSentence = regexp.MustCompile(`[.!?]( |$)`)

// What --brief prints fits into a comment, for every part and maker.
func TestBriefFitsAComment(t *testing.T) {
	log, err := dataset.ReadFile(demoLog, dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	basis, err := card.Prepare(t.Context(), log, card.Options{})
	if err != nil {
		t.Fatal(err)
	}
	fits := func(text string) {
		t.Helper()
		if n := len([]rune(text)); n > cards.MostBrief {
			t.Errorf("%d characters: %s", n, text)
		}
		if n := len(briefSentence.FindAllString(text, -1)); n > 5 {
			t.Errorf("%d sentences: %s", n, text)
		}
		if !strings.Contains(text, "equipment maker's list") || !strings.Contains(text, "pened here") && !strings.Contains(text, "opening") {
			t.Errorf("the caution or the openings are missing: %s", text)
		}
	}
	for _, v := range basis.Model.Verdicts() {
		c, err := basis.OfPart(price.Product{Maker: v.Maker, Part: v.Part}, card.Room{})
		if err != nil {
			t.Fatal(err)
		}
		fits(cards.BriefPart(c, log.Units()))
	}
	for _, maker := range logfile.Makers(log) {
		m, err := basis.OfMaker(maker)
		if err != nil {
			t.Fatal(err)
		}
		fits(cards.BriefMaker(m, log.Units()))
	}
}

// changedDemo returns the demo log with some cells changed: change is called for each
// row.
func changedDemo(t *testing.T, change func(get func(string) string, set func(column, to string))) string {
	t.Helper()
	text, err := os.ReadFile(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	for _, row := range rows[1:] {
		change(func(c string) string { return row[at[c]] }, func(c, to string) { row[at[c]] = to })
	}
	var b strings.Builder
	if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	return logFile(t, b.String())
}

// A part that became another filter is reported as that, once, and not as slips.
func TestLatestTellsAnotherFilter(t *testing.T) {
	path := changedDemo(t, func(get func(string) string, set func(column, to string)) {
		if get("opened") == "2026-04-11" {
			for column, to := range map[string]string{"pleats": "44", "can_mass_g": "60", "total_mass_g": "140", "can_od_mm": "66", "can_gauge_mm": "0.39"} {
				set(column, to)
			}
		}
	})
	r := call("", "latest", path)
	want(t, r, exitDone)
	wantOutput(t, r, "It is not the same filter any more: 44 pleats, where the six before had 67")
	if strings.Contains(r.stdout, "looks like a slip") || strings.Contains(r.stdout, "differs from its earlier") {
		t.Errorf("it is told twice:\n%s", r.stdout)
	}
}

// A slip in the last opening is reported with what was meant; its reading makes no news.
func TestLatestTellsASlip(t *testing.T) {
	path := changedDemo(t, func(get func(string) string, set func(column, to string)) {
		if get("opened") == "2026-04-11" {
			set("total_mass_g", "17.88")
		}
	})
	r := call("", "latest", path)
	want(t, r, exitDone)
	wantOutput(t, r, `Line 261, total mass: "17.88" looks like a slip; probably "178.8" was meant.`)
}

// Each opening has at most eight pieces of news, none of them empty.
func TestLatestIsShort(t *testing.T) {
	r := call("", "latest", demoLog, "--since", "2025", "--json")
	want(t, r, exitDone)
	var got struct {
		Openings []struct {
			Part string
			News []struct{ Kind, Text string }
		}
	}
	if err := json.Unmarshal([]byte(r.stdout), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Openings) < 20 {
		t.Fatalf("%d openings since 2025", len(got.Openings))
	}
	for _, o := range got.Openings {
		if len(o.News) == 0 || len(o.News) > 8 {
			t.Errorf("%s has %d pieces of news", o.Part, len(o.News))
		}
		for _, n := range o.News {
			if !briefSentence.MatchString(n.Text) || strings.Contains(n.Text, "NaN") {
				t.Errorf("%s, %s: %q", o.Part, n.Kind, n.Text)
			}
		}
	}
}

func TestLatestOfOddLogs(t *testing.T) {
	undated := changedDemo(t, func(_ func(string) string, set func(column, to string)) { set("opened", "") })
	oneMaker := changedDemo(t, func(_ func(string) string, set func(column, to string)) { set("maker", "Lowmere") })
	newMaker := changedDemo(t, func(get func(string) string, set func(column, to string)) {
		if get("opened") == "2026-04-11" {
			set("maker", "Harbourside")
			set("price", "")
		}
	})
	var twelve strings.Builder
	twelve.WriteString("opened,maker,part,price,can_gauge_mm,pleats\n")
	for i := range 12 {
		fmt.Fprintf(&twelve, "2025-%02d-01,Skerrow,SK-1,8.99,0.4%d,5%d\n", i+1, i%3, i%2)
	}
	for _, c := range []struct{ path, says string }{
		{undated, "the log has no dates"},
		{oneMaker, "earlier openings"},
		{newMaker, "It is the first Harbourside opened here."},
		{newMaker, "Not recorded, and needed to judge its price: price."},
		{logFile(t, twelve.String()), "11 earlier openings"},
		{logFile(t, "maker,part,pleats\nSkerrow,SK-1,50\n"), "first opening of the log"},
	} {
		r := call("", "latest", c.path)
		want(t, r, exitDone)
		wantOutput(t, r, c.says)
	}
	r := call("", "show", logFile(t, twelve.String()), "SK-1")
	want(t, r, exitDone)
	wantOutput(t, r, "12 openings")
}

// Names from a log have no effect on a terminal, in the text or in the JSON.
func TestHostileNamesOfCards(t *testing.T) {
	const maker = "<b onclick=x>\x1b]0;t\x07&\"'"
	path := changedDemo(t, func(get func(string) string, set func(column, to string)) {
		if get("part") == "L4135" {
			set("maker", maker)
			set("part", "=HYPERLINK(\"x\")\u202e")
			set("thread", "M20x1.5\x1b[31m")
		}
	})
	name := "HYPERLINK"
	for _, args := range [][]string{{"latest", path}, {"latest", path, "--json"}, {"show", path, name}, {"show", path, name, "--json"},
		{"show", path, name, "--brief"}, {"columns", "--csv", "--like", path}} {
		r := call("", args...)
		want(t, r, exitDone)
		for _, bad := range []string{"\x1b", "\x07", "\u202e", "\r"} {
			if strings.Contains(r.stdout, bad) {
				t.Errorf("%v prints %q", args, bad)
			}
		}
	}
}

// The row of columns --like can be read as a row of the log that it imitates.
func TestARowLikeTheLogs(t *testing.T) {
	german := "Datum;Maker;Part;Länge (in);wall mm;price €;my own\n2024-01-02;A;b;41,3;0,5;8,99;x\n2024-01-03;A;c;41,3;0,5;8,99;y\n"
	for _, path := range []string{demoLog, logFile(t, german)} {
		r := call("", "columns", "--csv", "--like", path)
		want(t, r, exitDone)
		log, err := dataset.ReadFile(path, dataset.Options{})
		if err != nil {
			t.Fatal(err)
		}
		headers, separator := log.Headers()
		lines := strings.Split(r.stdout, "\n")
		if len(lines) != 3 || strings.Trim(lines[1], string(separator)) != "" || strings.Count(lines[1], string(separator)) != len(headers)-1 {
			t.Errorf("%s: %q", path, r.stdout)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if first, _, _ := strings.Cut(string(text), "\n"); strings.TrimSpace(first) != lines[0] {
			t.Errorf("the header is %q, the log's %q", lines[0], first)
		}
	}
	want(t, call("", "columns", "--like", demoLog), exitUsage)
}

func TestPricesAsATable(t *testing.T) {
	file := filepath.Join(t.TempDir(), "prices.csv")
	want(t, call("", "price", demoLog, "--csv", file), exitDone)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 61 || rows[1][0] != "1" || rows[1][2] != "VM2146" || rows[1][3] != "clear" || !strings.Contains(rows[0][7], "£") {
		t.Errorf("%d rows: %v %v", len(rows), rows[0], rows[1])
	}
	want(t, call("", "price", demoLog, "--part", "L4135", "--csv", file), exitUsage)
}

// The folder of latest holds the charts that belong to its text, and none of an earlier
// run.
func TestTheFolderOfLatest(t *testing.T) {
	out := filepath.Join(t.TempDir(), "latest")
	want(t, call("", "latest", demoLog, "--since", "2026-04-04", "--out", out, "--format", "svg", "--html"), exitDone)
	for _, name := range []string{"latest.txt", "latest.json", "latest.html", "01-usual-price.svg", "02-trend-price-media_area.svg", "03-drift-can_gauge.svg"} {
		if _, err := os.Stat(filepath.Join(out, name)); err != nil {
			t.Error(err)
		}
	}
	ring, err := os.ReadFile(filepath.Join(out, "01-trend-price-media_area.svg"))
	if err != nil || !strings.Contains(string(ring), "Skerrow SK 1274") {
		t.Errorf("the part of the first opening is not named in its chart (%v)", err)
	}
	want(t, call("", "latest", demoLog, "--out", out, "--no-plots"), exitDone)
	if got := strings.Join(files(t, out), " "); got != "latest.json latest.txt" && got != ".pleatstat-written latest.json latest.txt" {
		t.Errorf("after a second run it holds %s", got)
	}
	want(t, call("", "latest", demoLog, "--html"), exitUsage)
}

// Names from a log are text on a page, never markup, and nothing is fetched.
func TestPagesOfCards(t *testing.T) {
	const maker = "<script>x()</script><img src=x onerror=y>"
	path := changedDemo(t, func(get func(string) string, set func(column, to string)) {
		if get("maker") == "Lowmere" {
			set("maker", maker)
		}
	})
	dir := t.TempDir()
	part, page := filepath.Join(dir, "part.html"), filepath.Join(dir, "maker.html")
	want(t, call("", "show", path, "L4135", "--html", part, "--plot", filepath.Join(dir, "part.svg")), exitDone)
	want(t, call("", "show", path, maker, "--html", page, "--theme", "dark", "--plot", filepath.Join(dir, "maker.svg")), exitDone)
	for _, file := range []string{part, page} {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, bad := range []string{"<script>x()", "<img", "http-equiv=\"refresh", "src=\"http", "href=\"http"} {
			if strings.Contains(string(text), bad) {
				t.Errorf("%s holds %s", file, bad)
			}
		}
		if !strings.Contains(string(text), "<svg") || !strings.Contains(string(text), "&lt;script&gt;") {
			t.Errorf("%s has no chart or does not name the maker", file)
		}
	}
}
