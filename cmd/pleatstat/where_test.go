package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Every command that reads a log takes --where and states, at the head of its text and in
// its JSON, what was left out.
func TestWhereOnEveryCommand(t *testing.T) {
	const said = "Only openings with opened>=2021 and maker!=Skerrow; 97 of 260 are left out."
	for _, command := range []string{"start", "report", "check", "price", "drift", "roundup", "compare", "trend", "latest", "show"} {
		args := map[string][]string{
			"show":    {command, demoLog, "L4119"},
			"compare": {command, demoLog, "Veldmarsh VM2146", "Lowmere L4119"},
			"trend":   {command, demoLog, "--response", "price", "--predictor", "media_area"},
		}[command]
		if args == nil {
			args = []string{command, demoLog}
		}
		args = append(args, "--where", "opened>=2021", "--where", "maker!=Skerrow")
		code := exitDone
		if command == "check" {
			code = exitLogErrors
		}
		text := call("", args...)
		want(t, text, code)
		head := strings.Join(strings.Fields(text.stdout[:min(len(text.stdout), 600)]), " ")
		if strings.Count(strings.Join(strings.Fields(text.stdout), " "), said) != 1 || !strings.Contains(head, said) {
			t.Errorf("%s does not say once and at its head what is left out:\n%s", command, head)
		}
		asJSON := call("", append(args, "--json")...)
		want(t, asJSON, code)
		var doc struct {
			Log struct {
				Rows    int
				Where   []string
				LeftOut int `json:"left_out"`
			}
		}
		if err := json.Unmarshal([]byte(asJSON.stdout), &doc); err != nil {
			t.Fatal(command, err)
		}
		if l := doc.Log; l.Rows != 163 || l.LeftOut != 97 || !slices.Equal(l.Where, []string{"opened>=2021", "maker!=Skerrow"}) {
			t.Errorf("%s --json: %+v", command, l)
		}
	}
}

func TestWhereInTheFilesOfAReport(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	want(t, call("", "report", demoLog, "--out", dir, "--format", "svg", "--where", "opened>=2022"), exitDone)
	if text := strings.Join(strings.Fields(mustReadFile(t, filepath.Join(dir, findingsText))), " "); !strings.HasPrefix(text, "Only openings with opened>=2022; ") {
		t.Errorf("the findings begin with %q", text[:80])
	}
	if chart := mustReadFile(t, filepath.Join(dir, "prices.svg")); !strings.Contains(chart, "only opened&gt;=2022") {
		t.Error("the chart does not say that it shows some openings only")
	}
}

func mustReadFile(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestConditionsThatMeetNothing(t *testing.T) {
	for condition, says := range map[string]string{
		"can_odd<80":   `--where "can_odd<80": there is no column "can_odd" in the log; did you mean can_od?`,
		"thread=M18x1": "did you mean M18x1.5?",
		"pleats>1000":  "none of the openings meets pleats>1000",
	} {
		if r := call("", "price", demoLog, "--where", condition); r.code != exitFailed || !strings.Contains(r.stderr, says) || r.stdout != "" {
			t.Errorf("%s: %+v", condition, r)
		}
	}
	if r := call("", "price", demoLog, "--where", "can_od"); r.code != exitUsage || !strings.Contains(r.stderr, "write a column") {
		t.Errorf("no sign: %+v", r)
	}
}
