package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/mattn/go-runewidth"
)

// asCommand is set if the test binary runs as pleatstat itself: to the path of a file
// that it creates when it begins.
const asCommand = "PLEATSTAT_TEST_AS_COMMAND"

// TestMain keeps the settings of whoever runs the tests out of them.
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

// The script of any year fits a window of 72 columns and can be read aloud: at most 700
// words, and per chapter a headline and at most three more sentences. A maker's change
// is in the script of the year it began and of every later one until it ends.
func TestRoundupScripts(t *testing.T) {
	for year, news := range map[string][]string{"2019": nil, "2020": nil, "2022": {"Lowmere"}, "2023": {"Lowmere", "Pellbrook"}, "2025": {"Lowmere"}, "2026": {"Lowmere"}} {
		r := call("", "roundup", demoLog, "--year", year)
		want(t, r, 0)
		_, script, _ := strings.Cut(r.stdout, "\n\n") // below the columns read
		if n := len(strings.Fields(script)); n > 700 {
			t.Errorf("%s: %d words", year, n)
		}
		canBeReadAloud(t, script)
		chapters := strings.Split(inBrackets.ReplaceAllString(script, ""), "\n\n")
		if !strings.HasPrefix(chapters[1], "In short\n- ") || !strings.HasPrefix(chapters[2], "1. The year in figures\n") ||
			!strings.HasPrefix(chapters[len(chapters)-1], strconv.Itoa(len(chapters)-2)+". The caution\n") {
			t.Errorf("%s: the script is made otherwise:\n%s", year, script)
		}
		for _, c := range chapters[2 : len(chapters)-1] {
			_, said, _ := strings.Cut(strings.TrimSpace(c), "\n")
			if n := strings.Count(said+"\n", ".\n"); n < 1 || n > 4 {
				t.Errorf("%s: %d sentences in %q", year, n, c)
			}
		}
		for _, maker := range []string{"Lowmere", "Pellbrook"} {
			for _, told := range []string{maker + "'s cans have thinned by ", maker + "'s filters lost five pleats ("} {
				if strings.Contains(script, told) && !slices.Contains(news, maker) {
					t.Errorf("%s: %q is told out of its time", year, told)
				}
			}
			if slices.Contains(news, maker) && !strings.Contains(chapters[3], maker+"'s ") {
				t.Errorf("%s: no change of %s in the first news:\n%s", year, maker, chapters[3])
			}
		}
		for _, bad := range []string{"NaN", "Inf", "%!", "  ", " ,", "+−", "−−"} {
			if strings.Contains(strings.ReplaceAll(strings.TrimSpace(inBrackets.ReplaceAllString(script, "")), "\n  ", "\n"), bad) {
				t.Errorf("%s: the text holds %q", year, bad)
			}
		}
		for line := range strings.SplitSeq(r.stdout, "\n") {
			if runewidth.StringWidth(line) > 72 {
				t.Errorf("%s: %q is wider than 72 columns", year, line)
			}
		}
	}
}

// Without --year the last year with enough openings is taken, and the text says so.
func TestTheYearToldUnasked(t *testing.T) {
	data, err := os.ReadFile(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	var kept []string
	few := 0
	for line := range strings.SplitSeq(strings.TrimSpace(string(data)), "\n") {
		if strings.HasPrefix(line, "2026") {
			if few++; few > 7 {
				continue
			}
		}
		kept = append(kept, line)
	}
	log := logFile(t, strings.Join(kept, "\n")+"\n")
	r := call("", "roundup", log)
	wantOutput(t, r, "Roundup 2025", "The year told is 2025, the last with at least 8 openings; 2026 has 7 so far, and --year 2026 tells of it.")
	wantOutput(t, call("", "roundup", log, "--year", "2026"), "In 2026 the bench has opened 7 filters up to ")
	wantOutput(t, call("", "roundup", logFile(t, strings.Join(kept[:5], "\n")+"\n")), "Roundup 2019")
}

// A chapter begins when 150 words a minute reach it.
func TestRunningTimes(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	want(t, call("", "roundup", demoLog, "--out", dir, "--no-plots"), 0)
	list, err := os.ReadFile(filepath.Join(dir, "chapters.txt"))
	if err != nil {
		t.Fatal(err)
	}
	script, err := os.ReadFile(filepath.Join(dir, "roundup.txt"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(list)), "\n")
	if lines[0] != "0:00 The year in figures" || !strings.HasSuffix(lines[1], " What makers changed") {
		t.Errorf("the chapters are\n%s", list)
	}
	before := -1
	for i, line := range lines {
		clock, title, _ := strings.Cut(line, " ")
		minutes, seconds, _ := strings.Cut(clock, ":")
		m, err1 := strconv.Atoi(minutes)
		s, err2 := strconv.Atoi(seconds)
		read, _, found := strings.Cut(string(script), strconv.Itoa(i+1)+". "+title+"\n")
		if at := 60*m + s; err1 != nil || err2 != nil || !found || at <= before || i > 0 && (at > len(strings.Fields(read))*60/150 || at < len(strings.Fields(read))*60/150*3/4) {
			t.Errorf("%q after %d words (%v, %v)", line, len(strings.Fields(read)), err1, err2)
		} else {
			before = at
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
		"maker-changes.csv", "01-drift-can_gauge.png", "02-best-value.svg", "03-price-for-contents.png"} {
		if !slices.Contains(names, name) {
			t.Errorf("no file %s among %v", name, names)
		}
	}
	if slices.Contains(names, "page.html") {
		t.Error("a page that was not asked for")
	}
	text, err := os.ReadFile(filepath.Join(dir, "roundup.txt"))
	if err != nil || !strings.HasPrefix(string(text), "Slack season\n") {
		t.Errorf("the title is not used: %.40q, %v", text, err)
	}
	// A second run with less removes files that no longer belong to it.
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

// A log named in the settings replaces the argument, the error of a wrong setting states
// its place, and a flag takes precedence.
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
