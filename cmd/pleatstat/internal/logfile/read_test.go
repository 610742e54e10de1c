package logfile

import "testing"

func TestNamesOfOpenFiles(t *testing.T) {
	for path, name := range map[string]string{"/dev/fd/0": "standard input", "/dev/stdin": "standard input", "/proc/self/fd/7": "a pipe", "/proc/12/fd/0": "standard input",
		"/dev/fd/63": "a pipe", "63": "63", "fd/63": "fd/63", "log.csv": "log.csv"} {
		if got := nameOf(path); got != name {
			t.Errorf("%s is called %q, want %q", path, got, name)
		}
	}
}
