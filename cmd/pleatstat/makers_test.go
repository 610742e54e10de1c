package main

import (
	"strings"
	"testing"

	"pleatstat/stats/drift"
)

// twoSpellings has one maker spelt in two cases, and one spelt in one way.
const twoSpellings = `opened,maker,part,price,can_gauge_mm
2024-03-01,Skerrow,SK-1,8.99,0.40
2024-03-02,SKERROW,SK-2,9.99,0.41
2024-03-03,Thornquay,TQ-1,7.99,0.42
`

func TestTheHelpOfDriftListsWhatItFollows(t *testing.T) {
	r := call("", "drift", "--help")
	want(t, r, exitDone)
	_, listed, _ := strings.Cut(spoken(r.stdout), "Measures it follows: ")
	listed, _, _ = strings.Cut(listed, ".")
	if got, want := strings.ReplaceAll(listed, " and ", ", "), strings.Join(drift.Measures(), ", "); got != want {
		t.Errorf("the help lists %s, drift follows %s", got, want)
	}
}

func TestTheCaseOfAMakerDoesNotCount(t *testing.T) {
	right := call("", "drift", demoLog, "--maker", "Lowmere", "--measure", "can_gauge")
	want(t, right, exitDone)
	for _, typed := range []string{"lowmere", "LOWMERE"} {
		if r := call("", "drift", demoLog, "--maker", typed, "--measure", "can_gauge"); r != right {
			t.Errorf("--maker %s: code %d, %s%s", typed, r.code, r.stdout, r.stderr)
		}
	}
	undated := logFile(t, strings.ReplaceAll(twoSpellings, "2024-03-0", "?"))
	if r := call("", "drift", undated, "--maker", "Thornquay"); r.code != exitFailed || !strings.Contains(r.stderr, "nor has one of any other") {
		t.Errorf("without dates: code %d, %s", r.code, r.stderr)
	}
	log := logFile(t, twoSpellings)
	for typed, code := range map[string]int{"Skerrow": 0, "SKERROW": 0, "thornquay": 0, "skerrow": 1, "Skerro": 1, "": 2} {
		r := call("", "drift", log, "--maker", typed)
		want(t, r, code)
		if says := `may be Skerrow or SKERROW`; typed == "skerrow" && !strings.Contains(r.stderr, says) {
			t.Errorf("--maker %s says %q, not %q", typed, r.stderr, says)
		}
	}
}
