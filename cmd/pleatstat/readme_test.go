package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

// The excerpt in the README is what the report on the demo log says.
func TestReadmeExcerptIsReal(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(readme), "<!-- excerpt of findings.txt -->\n")
	excerpt, _, found := strings.Cut(rest, "<!-- end of excerpt -->")
	if !found || len(excerpt) < 200 {
		t.Fatalf("README.md has no excerpt worth the name: %q", excerpt)
	}
	var block []string
	for _, line := range strings.Split(strings.TrimSpace(excerpt), "\n") {
		block = append(block, strings.TrimPrefix(strings.TrimPrefix(line, "    "), "\t"))
	}
	var out, errs bytes.Buffer
	if code := run([]string{"report", demoLog, "--no-plots"}, strings.NewReader(""), &out, &errs); code != 0 {
		t.Fatalf("exit %d: %s", code, errs.String())
	}
	for _, paragraph := range strings.Split(strings.TrimSpace(strings.Join(block, "\n")), "\n[…]\n") {
		if !strings.Contains(out.String(), paragraph) {
			t.Errorf("the report on the demo log does not say:\n%s", paragraph)
		}
	}
}
