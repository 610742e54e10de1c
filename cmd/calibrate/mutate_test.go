package main

import (
	"os"
	"path/filepath"
	"testing"
)

// Every rule of the list must be declared exactly once, with the value in the list.
func TestEveryRuleStandsOnce(t *testing.T) {
	for _, r := range rules {
		source, err := os.ReadFile(filepath.Join("..", "..", r.file))
		if err != nil {
			t.Fatal(err)
		}
		if n := len(r.declaration().FindAll(source, -1)); n != 1 {
			t.Errorf("%s: %s = %s stands there %d times, want once", r.file, r, r.value, n)
		}
	}
}
