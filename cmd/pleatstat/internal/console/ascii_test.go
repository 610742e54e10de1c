package console

import (
	"strings"
	"testing"
)

func TestTerminalsOfOtherEncodingsGetASCII(t *testing.T) {
	for _, c := range []struct {
		system, env string
		utf8        bool
	}{
		{"linux", "LANG=en_GB.UTF-8", true},
		{"linux", "LANG=C.utf8", true},
		{"linux", "LC_ALL=C LANG=en_GB.UTF-8", false},
		{"linux", "LC_CTYPE=de_DE.UTF-8 LANG=C", true},
		{"linux", "LANG=en_GB.ISO-8859-1", false},
		{"linux", "LANG=POSIX", false},
		{"linux", "", false},
		{"darwin", "", true},
		{"darwin", "LC_ALL=C", false},
		{"windows", "", true},
		{"windows", "LANG=C", true},
	} {
		getenv := func(name string) string {
			for _, set := range strings.Fields(c.env) {
				if value, ok := strings.CutPrefix(set, name+"="); ok {
					return value
				}
			}
			return ""
		}
		if got := showsUTF8(c.system, getenv); got != c.utf8 {
			t.Errorf("%s with %q: UTF-8 %v", c.system, c.env, got)
		}
	}
}

func TestSignsHaveAnASCIIForm(t *testing.T) {
	for in, want := range map[string]string{
		"−0.4 to 2.5 × £8.99, 41 ⅜ in²": "-0.4 to 2.5 x GBP 8.99, 41 3/8 in2", "Größe, 20 µm …": "Grosse, 20 um ...", "船": "?", "\x1b[1mA\x1b[0m\n": "\x1b[1mA\x1b[0m\n",
	} {
		if got := ASCII(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}
