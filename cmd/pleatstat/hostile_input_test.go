package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"pleatstat/cmd/pleatstat/internal/console"
)

// slipText is a log with one spelling to correct.
func slipText() string {
	var b strings.Builder
	b.WriteString("opened,maker,part,pleats\n")
	for i := range 12 {
		fmt.Fprintf(&b, "2024-%02d-01,Skerrow,SK-1,50\n", i+1)
	}
	b.WriteString("2024-12-02,SKERROW,SK-1,50\n")
	return b.String()
}

// A date after today, and one decades before all others, are left out of everything that
// uses dates, and the text states that first.
func TestDatesThatCannotBe(t *testing.T) {
	demo, err := os.ReadFile(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(string(demo), "\n")
	change := func(line int, year string) {
		lines[line-1] = year + lines[line-1][4:]
	}
	change(40, "2042")
	change(50, "1972")
	path := logFile(t, strings.Join(lines, ""))
	const says = "Left out of everything that goes by date"
	for _, args := range [][]string{
		{"check"}, {"report"}, {"report", "--out", t.TempDir()}, {"drift"}, {"roundup"}, {"price"}, {"trend", "--of", "can_gauge", "--on", "opened"},
		{"price", "--part", "Veldmarsh VM2146"},
	} {
		r := callOn(time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC), append([]string{args[0], path}, args[1:]...)...)
		head := strings.Join(strings.Fields(r.stdout[:min(len(r.stdout), 900)]), " ")
		if !strings.Contains(head, says) || !strings.Contains(head, "2042") || !strings.Contains(head, "1972") || !strings.Contains(head, "line 40 (after today)") {
			t.Errorf("%v: %d\n%s\n%s", args, r.code, head, r.stderr)
		}
		if rest := strings.Join(strings.Fields(r.stdout), " "); args[0] != "check" && args[0] != "report" && strings.Count(rest, "2042") > 2 {
			t.Errorf("%v speaks of 2042:\n%s", args, r.stdout)
		}
	}
	r := callOn(time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC), "drift", path, "--json")
	if !strings.Contains(r.stderr, says) {
		t.Errorf("%+v", r)
	}
	if r := callOn(time.Date(2043, 11, 1, 0, 0, 0, 0, time.UTC), "drift", path); strings.Contains(strings.Join(strings.Fields(r.stdout), " "), "after today") {
		t.Errorf("in 2043: %s", r.stdout)
	}
}

// callOn does the same as call, as if on another day.
func callOn(today time.Time, args ...string) result {
	var out, err bytes.Buffer
	a := &app{Console: console.New(strings.NewReader(""), &out, &err), today: today}
	code := a.exit(a.execute(context.Background(), args))
	return result{code, out.String(), err.String()}
}
