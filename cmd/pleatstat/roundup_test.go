package main

import (
	"encoding/csv"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/mattn/go-runewidth"
)

// updateRoundup rewrites the stored talking points: go test ./cmd/pleatstat -run
// TestRoundupGolden -update-roundup, then read what changed.
var updateRoundup = flag.Bool("update-roundup", false, "rewrite the stored talking points")

// TestMain keeps the settings of whoever runs the tests out of them.
// asCommand is set where the test binary runs as pleatstat itself: to a file that
// it makes when it begins.
const asCommand = "PLEATSTAT_TEST_AS_COMMAND"

func TestMain(m *testing.M) {
	if began := os.Getenv(asCommand); began != "" {
		if err := os.WriteFile(began, nil, 0o666); err != nil {
			panic(err)
		}
		main()
	}
	for _, name := range []string{"CONFIG", "LOG", "UNITS", "THEME", "SIZE", "FORMAT"} {
		if err := os.Unsetenv("PLEATSTAT_" + name); err != nil {
			panic(err)
		}
	}
	if err := os.Setenv("XDG_CONFIG_HOME", os.DevNull); err != nil { // a folder with nothing in it
		panic(err)
	}
	os.Exit(m.Run())
}

func TestRoundupGolden(t *testing.T) {
	golden := filepath.Join("testdata", "roundup.txt")
	r := call("", "roundup", demoLog)
	want(t, r, 0)
	if *updateRoundup {
		if err := os.MkdirAll("testdata", 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(golden, []byte(r.stdout), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	stored, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	// The chapter on prices moves in its last digits with every refinement of
	// the price verdicts; what it must find is tested in stats/roundup.
	if d := cmp.Diff(withoutPrices(string(stored)), withoutPrices(r.stdout)); d != "" {
		t.Errorf("the talking points changed (-stored +now):\n%s", d)
	}
}

// withoutPrices leaves out the chapter on prices.
func withoutPrices(text string) string {
	before, rest, _ := strings.Cut(text, "\n3. ")
	_, after, _ := strings.Cut(rest, "\n4. ")
	return before + "\n4. " + after
}

// Every sentence that is told rests on a number in brackets, and every line can
// be read in a window of 72 columns.
func TestRoundupSentences(t *testing.T) {
	number := regexp.MustCompile(`\([^()]*[0-9][^()]*`)
	for _, year := range []string{"2019", "2020", "2023", "2025", "2026"} {
		r := call("", "roundup", demoLog, "--year", year)
		want(t, r, 0)
		_, script, _ := strings.Cut(r.stdout, "\n\n") // below the columns read
		told, caution, _ := strings.Cut(script, "The caution")
		if caution == "" {
			t.Errorf("%s: no caution", year)
		}
		for item := range strings.SplitSeq(told, "\n- ") {
			item, _, _ = strings.Cut(item, "\n\n")
			if text := strings.Join(strings.Fields(item), " "); !strings.HasPrefix(text, "Roundup") && !number.MatchString(text) &&
				!strings.Contains(text, "gain:") && !strings.HasPrefix(text, "All prices are in the money of") && !strings.Contains(text, "no surprise") {
				t.Errorf("%s: no number in brackets: %q", year, text)
			}
		}
		for line := range strings.SplitSeq(r.stdout, "\n") {
			if runewidth.StringWidth(line) > 72 {
				t.Errorf("%s: %q is wider than 72 columns", year, line)
			}
		}
		for _, bad := range []string{"NaN", "Inf", "%!", "  ", " ,", "+−", "−−"} {
			if strings.Contains(strings.ReplaceAll(strings.TrimSpace(r.stdout), "\n  ", "\n"), bad) {
				t.Errorf("%s: the text holds %q", year, bad)
			}
		}
	}
}

func TestRoundupFiles(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	want(t, call("", "roundup", demoLog, "--out", dir, "--format", "png,svg", "--title", "Slack season", "--size", "640x360", "--transparent"), 0)
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	for _, name := range []string{"roundup.txt", "roundup.json", "chapters.txt", "best-value.csv", "shifts.csv", "makers-price.csv", "open-next.csv",
		"01-best-value.png", "01-best-value.svg", "02-price-for-contents.png"} {
		if !slices.Contains(names, name) {
			t.Errorf("no file %s among %v", name, names)
		}
	}
	if slices.Contains(names, "page.html") {
		t.Error("a page that was not asked for")
	}
	chapters, err := os.ReadFile(filepath.Join(dir, "chapters.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range regexp.MustCompile(`\S+\.png`).FindAllString(string(chapters), -1) {
		if !slices.Contains(names, name) {
			t.Errorf("the chapters name %s, which is not there", name)
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "roundup.txt"))
	if err != nil || !strings.HasPrefix(string(text), "Slack season\n") {
		t.Errorf("the title is not used: %.40q, %v", text, err)
	}
	// A second run with less removes what is no longer part of it.
	want(t, call("", "roundup", demoLog, "--out", dir, "--no-plots"), 0)
	if _, err := os.Stat(filepath.Join(dir, "01-best-value.png")); !os.IsNotExist(err) {
		t.Error("a chart of the earlier run is still there")
	}
	// A file of the user's own is not touched.
	mine := filepath.Join(t.TempDir(), "roundup.txt")
	if err := os.WriteFile(mine, []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	r := call("", "roundup", demoLog, "--out", filepath.Dir(mine))
	want(t, r, 1)
	if data, err := os.ReadFile(mine); err != nil || string(data) != "mine" {
		t.Errorf("the user's file now holds %q, %v", data, err)
	}
}

func TestRoundupJSONAndTables(t *testing.T) {
	r := call("", "roundup", demoLog, "--year", "2025", "--json")
	want(t, r, 0)
	var got struct {
		Schema string
		Year   int
		Tables []struct {
			ID     string
			Places []struct {
				Value    float64
				Rank     int
				RankLow  int `json:"rank_low"`
				RankHigh int `json:"rank_high"`
			}
		}
	}
	if err := json.Unmarshal([]byte(r.stdout), &got); err != nil {
		t.Fatal(err)
	}
	if got.Schema != "pleatstat/roundup/1" || got.Year != 2025 || len(got.Tables) != 6 {
		t.Errorf("schema %q, year %d, %d tables", got.Schema, got.Year, len(got.Tables))
	}
	for _, table := range got.Tables {
		for _, p := range table.Places {
			if p.RankLow < 1 || p.RankLow > p.Rank || p.Rank > p.RankHigh || p.RankHigh > len(table.Places) {
				t.Errorf("%s: place %d in %d to %d of %d", table.ID, p.Rank, p.RankLow, p.RankHigh, len(table.Places))
			}
		}
	}
	dir := filepath.Join(t.TempDir(), "out")
	want(t, call("", "roundup", logFile(t, hostileLog()), "--out", dir, "--no-plots"), 0)
	files, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil || len(files) < 6 {
		t.Fatalf("%d tables, %v", len(files), err)
	}
	for _, file := range files {
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		records, err := csv.NewReader(f).ReadAll()
		f.Close()
		if err != nil {
			t.Errorf("%s: %v", filepath.Base(file), err)
		}
		for _, record := range records {
			for _, cell := range record {
				if strings.HasPrefix(cell, "=") {
					t.Errorf("%s: a spreadsheet would run %q", filepath.Base(file), cell)
				}
			}
		}
	}
}

func TestRoundupUsage(t *testing.T) {
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"--year", "2018"}, 1, "2019, 2020"},
		{[]string{"--year", "26"}, 2, "2026"},
		{[]string{"--html"}, 2, "--out"},
		{[]string{"--theme", "blue"}, 2, "light, dark"},
	} {
		r := call("", append([]string{"roundup", demoLog}, c.args...)...)
		want(t, r, c.code)
		if !strings.Contains(r.stderr, c.says) {
			t.Errorf("%v: %q does not say %q", c.args, r.stderr, c.says)
		}
	}
}

// A log named in the settings takes the place of the argument, a wrong setting
// is told with its place, and a flag wins.
func TestSettingsAreUsed(t *testing.T) {
	log, err := filepath.Abs(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "config.json")
	write := func(text string) {
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv("PLEATSTAT_CONFIG", file)
	quoted, err := json.Marshal(log)
	if err != nil {
		t.Fatal(err)
	}
	write(`{"log": ` + string(quoted) + `, "units": "metric"}`)
	r := call("", "roundup")
	want(t, r, 0)
	if !strings.Contains(r.stdout, "per 100 cm²") {
		t.Error("the units of the settings are not used")
	}
	if r = call("", "roundup", "--units", "us"); !strings.Contains(r.stdout, "per 10 in²") {
		t.Error("a flag does not stand before the settings")
	}
	t.Setenv("PLEATSTAT_UNITS", "us")
	if r = call("", "roundup"); !strings.Contains(r.stdout, "per 10 in²") {
		t.Error("the environment does not stand before the file")
	}
	if r = call("", "compare", "VM2146", "T-385"); r.code != exitDone || !strings.Contains(r.stdout, "A is Veldmarsh VM2146") {
		t.Errorf("compare does not take the log of the settings: %d, %s", r.code, r.stderr)
	}
	if r = call("", "compare", logFile(t, soundText), "SK-1", "TQ-2"); r.code != exitDone || !strings.Contains(r.stdout, "A is Skerrow SK-1") {
		t.Errorf("compare does not take the log named: %d, %s", r.code, r.stderr)
	}
	write(`{"theme": "blue"}`)
	r = call("", "roundup", demoLog)
	want(t, r, 2)
	for _, says := range []string{"config.json", `"theme"`, "light, dark"} {
		if !strings.Contains(r.stderr, says) {
			t.Errorf("%q does not say %q", r.stderr, says)
		}
	}
}
