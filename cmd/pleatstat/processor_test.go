package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// The same log gives the same files on a processor that multiplies and adds in one step,
// with one rounding, as on one that takes two steps.
func TestTheSameWithAndWithoutFusedMultiplyAdd(t *testing.T) {
	if runtime.GOARCH != "amd64" || testing.Short() {
		t.Skip("compares two levels of one architecture")
	}
	outs := map[string]map[string]string{}
	for _, level := range []string{"v1", "v3"} { // v3 has the fused operation
		dir := t.TempDir()
		binary := filepath.Join(dir, "pleatstat")
		build := exec.Command("go", "build", "-o", binary, ".")
		build.Env = append(os.Environ(), "GOAMD64="+level)
		if out, err := build.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		if out, err := exec.Command(binary, "--version").CombinedOutput(); err != nil {
			t.Skipf("this processor cannot run it: %s", out)
		}
		files := map[string]string{}
		for _, command := range []string{
			"report LOG --out DIR/report --format svg", "report LOG --json", "check LOG --json", "price LOG --json", "drift LOG --json --csv DIR/drift.csv",
			"trend LOG --of price --on media_area --json", "roundup LOG --out DIR/roundup --format svg --html",
		} {
			run := exec.Command(binary, strings.Fields(strings.NewReplacer("LOG", demoLog, "DIR", dir).Replace(command))...)
			out, err := run.Output()
			if err != nil && run.ProcessState.ExitCode() != exitLogErrors {
				t.Fatalf("%s: %v", command, err)
			}
			files[command] = strings.ReplaceAll(string(out), dir, "DIR")
		}
		err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
			if err != nil || e.IsDir() || path == binary {
				return err
			}
			data, err := os.ReadFile(path)
			name, _ := filepath.Rel(dir, path)
			files[name] = string(data)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		outs[level] = files
	}
	if len(outs["v1"]) < 40 {
		t.Errorf("only %d files to compare", len(outs["v1"]))
	}
	for name, text := range outs["v1"] {
		if other := outs["v3"][name]; other != text {
			i := 0
			for i < min(len(text), len(other)) && text[i] == other[i] {
				i++
			}
			t.Errorf("%s: %.60q and %.60q", name, text[max(0, i-20):], other[max(0, i-20):])
		}
	}
}
