package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"unicode"

	"pleatstat/cmd/pleatstat/internal/console"
)

func files(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

func TestReportFolder(t *testing.T) {
	out := filepath.Join(t.TempDir(), "findings")
	small := []string{"--size", "480x270"} // quick to draw
	r := call("", append([]string{"report", demoLog, "--out", out}, small...)...)
	want(t, r, 0)
	if !strings.Contains(r.stdout, "Written to "+out) {
		t.Errorf("the terminal is not told where the findings are: %q", r.stdout)
	}
	first := files(t, out)
	for _, name := range []string{"findings.txt", "findings.json", "trend-price-media_area.png", "prices.png"} {
		if _, err := os.Stat(filepath.Join(out, name)); err != nil {
			t.Error(err)
		}
	}
	js, err := os.ReadFile(filepath.Join(out, "findings.json"))
	if err != nil || !json.Valid(js) {
		t.Errorf("findings.json is not valid (%v)", err)
	}

	want(t, call("", append([]string{"report", demoLog, "--out", out}, small...)...), 0)
	if again := files(t, out); strings.Join(first, " ") != strings.Join(again, " ") {
		t.Errorf("a second run leaves %v, the first %v", again, first)
	}
	again, err := os.ReadFile(filepath.Join(out, "findings.json"))
	if err != nil || !bytes.Equal(js, again) {
		t.Errorf("the same log and seed give other findings (%v)", err)
	}

	want(t, call("", "report", demoLog, "--out", out, "--no-plots"), 0)
	if left := files(t, out); len(left) != 3 {
		t.Errorf("charts of the earlier run are still there: %v", left)
	}
}

func TestAFormatNamedTwiceIsDrawnOnce(t *testing.T) {
	out := filepath.Join(t.TempDir(), "charts")
	want(t, call("", "drift", demoLog, "--out", out, "--format", "svg,svg", "--size", "480x270"), 0)
	if len(files(t, out)) < 2 {
		t.Error("nothing was drawn")
	}
}

// Files that the user named in an earlier call stay when the folder is written again.
func TestFilesThatTheUserNamedStay(t *testing.T) {
	out := filepath.Join(t.TempDir(), "charts")
	table, chart := filepath.Join(out, "table.csv"), filepath.Join(out, "drift-mine.svg")
	want(t, call("", "drift", demoLog, "--out", out, "--csv", table, "--plot", chart, "--size", "480x270"), 0)
	want(t, call("", "drift", demoLog, "--out", out, "--measure", "pleats", "--size", "480x270"), 0)
	if got := strings.Join(files(t, out), " "); got != ".pleatstat-written drift-mine.svg drift-pleats.png table.csv" {
		t.Errorf("the folder holds %s", got)
	}
}

// Several commands write into one folder at once: all can be run again, since the list
// has the files of each.
func TestTwoCommandsIntoOneFolderAtOnce(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	for range 2 {
		var both sync.WaitGroup
		for _, command := range []string{"report", "roundup", "drift"} {
			both.Go(func() {
				if r := call("", command, demoLog, "--out", out, "--format", "svg", "--size", "480x270"); r.code != exitDone {
					t.Errorf("%s: exit code %d, %s", command, r.code, r.stderr)
				}
			})
		}
		both.Wait()
	}
	names := strings.Join(files(t, out), " ")
	for _, name := range []string{"findings.json", "roundup.json", "trend-price-media_area.svg", "02-best-value.svg"} {
		if !strings.Contains(names, name) {
			t.Errorf("the folder holds %s, not %s", names, name)
		}
	}
}

func TestAUsersOwnFilesStayAsTheyAre(t *testing.T) {
	out := t.TempDir()
	mine := filepath.Join(out, "findings.txt")
	if err := os.WriteFile(mine, []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	r := call("", "report", demoLog, "--out", out, "--no-plots")
	want(t, r, 1)
	if !strings.Contains(r.stderr, "findings.txt") {
		t.Errorf("the message %q does not name the file", r.stderr)
	}
	if data, _ := os.ReadFile(mine); string(data) != "mine" || len(files(t, out)) != 1 {
		t.Errorf("the folder holds %v, the file %q", files(t, out), data)
	}
}

func TestTheLogIsNeverWrittenOver(t *testing.T) {
	for _, flag := range []string{"check --csv", "check --fixed", "drift --csv"} {
		log := logFile(t, soundText)
		command, name, _ := strings.Cut(flag, " ")
		r := call("", command, log, name, log)
		want(t, r, 1)
		if data, _ := os.ReadFile(log); string(data) != soundText {
			t.Errorf("%s: the log was changed", flag)
		}
		if left := files(t, filepath.Dir(log)); len(left) != 1 {
			t.Errorf("%s left %v", flag, left)
		}
	}
	// A log with the name of an output, in the folder of the output.
	dir := t.TempDir()
	log := filepath.Join(dir, "findings.txt")
	if err := os.WriteFile(log, []byte(soundText), 0o666); err != nil {
		t.Fatal(err)
	}
	r := call("", "report", log, "--out", dir)
	want(t, r, 1)
	if !strings.Contains(r.stderr, "the log itself") {
		t.Errorf("got %q", r.stderr)
	}
	// The log on standard input.
	in, err := os.Open(log)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	var stderr bytes.Buffer
	if code := run([]string{"report", "-", "--out", dir}, in, io.Discard, &stderr); code != exitFailed || !strings.Contains(stderr.String(), "the log itself") {
		t.Errorf("exit code %d, %q", code, stderr.String())
	}
	if data, _ := os.ReadFile(log); string(data) != soundText {
		t.Error("the log was changed")
	}
}

func TestFailuresLeaveNothing(t *testing.T) {
	file := logFile(t, "x")
	for _, args := range [][]string{
		{"report", "nowhere.csv", "--out", "OUT"},
		{"report", os.DevNull, "--out", "OUT"},
		{"report", demoLog, "--out", file},
		{"report", demoLog, "--out", filepath.Join(file, "below")},
		{"trend", demoLog, "--of", "nothing", "--on", "pleats", "--plot", "OUT/x.png"},
		{"check", demoLog, "--csv", os.DevNull},
	} {
		out := filepath.Join(t.TempDir(), "out")
		for i := range args {
			args[i] = strings.Replace(args[i], "OUT", out, 1)
		}
		want(t, call("", args...), 1)
		if left := files(t, filepath.Dir(out)); len(left) != 0 {
			t.Errorf("%v left %v", args, left)
		}
	}
	if left := files(t, filepath.Dir(file)); len(left) != 1 {
		t.Errorf("beside the file there is %v", left)
	}
}

func TestStoppedRunsLeaveNothing(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	ctx, cancel := context.WithCancel(context.Background())
	cancel() // as Ctrl-C does
	var stderr bytes.Buffer
	a := &app{Console: console.New(strings.NewReader(""), io.Discard, &stderr)}
	if code := a.exit(a.execute(ctx, []string{"report", demoLog, "--out", out})); code != exitFailed {
		t.Errorf("exit code %d", code)
	}
	if !strings.Contains(stderr.String(), "stopped") || len(files(t, out)) != 0 {
		t.Errorf("%q; left %v", stderr.String(), files(t, out))
	}
}

func TestNoTerminalCodesOutsideTerminals(t *testing.T) {
	for _, args := range [][]string{{"report", demoLog}, {"check", demoLog}, {"columns"}, {"report", "--help"}, {"repot"}} {
		r := call("", args...)
		if strings.Contains(r.stdout+r.stderr, "\x1b") {
			t.Errorf("%v writes terminal codes", args)
		}
	}
}

// Makers, parts and cells of this log hold escape sequences, direction overrides and
// formulas.
func TestHostileLog(t *testing.T) {
	var b strings.Builder
	b.WriteString("opened,maker,part,price,media_length_in,element_width_in,can_gauge_mm,can_mass_g,\"\x1b[2Jcolumn\"\n")
	makers := []string{"\x1b[31mSkerrow\x1b[0m", "Thornquay\u202eyauqnrohT", "=HYPERLINK(\"x\")", "@Veldmarsh", "<script>alert(1)</script>", "Pell\u009bbrook"}
	for i := range 240 {
		m, gauge, own := "Orrinvale", "0.40", ""
		if i%8 == 0 { // with more control characters the reader would not take it for text
			m, gauge, own = makers[i/8%len(makers)], "0.4\x07", "\x1b]0;x\x07"
		}
		b.WriteString(strings.Join([]string{"2024-03-08", `"` + strings.ReplaceAll(m, `"`, `""`) + `"`, "P-" + string(rune('A'+i%20)),
			"8." + string(rune('0'+i%10)), "3" + string(rune('0'+i%10)), "1.5", gauge, "55", own}, ",") + "\n")
	}
	log := logFile(t, b.String())
	table := filepath.Join(t.TempDir(), "table.csv")
	for _, args := range [][]string{
		{"report", log}, {"report", log, "--json"}, {"check", log}, {"check", log, "--json"},
		{"drift", log}, {"drift", log, "--json"}, {"drift", log, "--csv", table}, {"trend", log, "--of", "price", "--on", "media_area", "--json"},
		{"drift", log, "--maker", "\x1b[1mnobody"},
	} {
		r := call("", args...)
		if r.code == exitUsage || (r.code == exitFailed && !strings.Contains(r.stderr, "no maker")) {
			t.Errorf("%v: %s", args, r.stderr)
		}
		for _, c := range r.stdout + r.stderr {
			if unicode.Is(unicode.Cf, c) || (unicode.IsControl(c) && c != '\n') {
				t.Errorf("%v: %U reaches the output", args, c)
				break
			}
		}
	}
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(data)) {
		if strings.HasPrefix(line, "=") || strings.HasPrefix(line, "@") || strings.HasPrefix(line, `"=`) {
			t.Errorf("a spreadsheet would run %q", line)
		}
	}
}

func TestTheFixedCopyDiffersOnlyWhereItSays(t *testing.T) {
	copied := filepath.Join(t.TempDir(), "better.csv")
	r := call("", "check", demoLog, "--fixed", copied, "--json")
	want(t, r, exitLogErrors)
	var doc struct {
		Fixed []struct {
			Line            int
			Found, Intended string
		}
	}
	if err := json.Unmarshal([]byte(r.stdout), &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Fixed) == 0 {
		t.Fatal("nothing was fixed in a log with planted slips")
	}
	before, err := os.ReadFile(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	after, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	was, is := strings.Split(string(before), "\n"), strings.Split(string(after), "\n")
	if len(was) != len(is) {
		t.Fatalf("%d lines became %d", len(was), len(is))
	}
	changed := map[int]bool{}
	for _, f := range doc.Fixed {
		changed[f.Line] = true
		if !strings.Contains(is[f.Line-1], f.Intended) {
			t.Errorf("line %d does not say %q", f.Line, f.Intended)
		}
	}
	for i := range was {
		if (was[i] != is[i]) != changed[i+1] {
			t.Errorf("line %d: %q became %q", i+1, was[i], is[i])
		}
	}
	stdin := call(string(before), "check", "-", "--fixed", copied)
	want(t, stdin, exitLogErrors)
	if again, _ := os.ReadFile(copied); !bytes.Equal(again, after) {
		t.Error("the copy of standard input is another")
	}
}
