package cellparse

import "testing"

// Sizes and pitches: ISO 261 (metric) and ASME B1.1 (inch), from memory.
func TestThreads(t *testing.T) {
	for text, want := range map[string]string{
		"M20x1.5": "M20x1.5", "M20 × 1.5": "M20x1.5", "m20*1,5": "M20x1.5", "M 20 X 1.5": "M20x1.5", "M20-1.5": "M20x1.5", "M20x1.5-6H": "M20x1.5", "M20 x 1.50 mm": "M20x1.5",
		"M18x1.5": "M18x1.5",
		"3/4-16":  "3/4-16", "3/4-16 UNF": "3/4-16", `3/4"-16`: "3/4-16", "3/4 - 16": "3/4-16", "3/4-16UNF-2B": "3/4-16", "0.75-16": "3/4-16", "¾-16": "3/4-16", "3/4″ x 16 TPI": "3/4-16",
		"13/16-16 UN": "13/16-16", "1-16": "1-16", "1 1/2-16": "1 1/2-16", "1-1/2-16 UN": "1 1/2-16", "1½-16": "1 1/2-16",
		"M20": "", "G 3/4": "", "3/4 NPT": "", "": "", "3/4": "", "20-30": "", "1-1/2": "", "bayonet": "",
	} {
		got := ""
		if thread, ok := ParseThread(text); ok {
			got = thread.String()
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
		if again, ok := ParseThread(got); got != "" && (!ok || again.String() != got) {
			t.Errorf("%q is not read as it is written", got)
		}
	}
}

func TestSameThread(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"M20x1.5", "M20 × 1.5", true}, {"3/4-16", `3/4"-16 UNF`, true}, {"M18x1.5", "M20x1.5", false},
		{"M20x1.5", "M20x2", false}, {"3/4-16", "13/16-16", false}, {"M20x1.5", "3/4-16", false}, // similar, but not the same
		{"G 3/4", "g3/4", true}, {"", "", false}, {"M20", "M20x1.5", false},
	} {
		if SameThread(c.a, c.b) != c.same || SameThread(c.b, c.a) != c.same {
			t.Errorf("%q and %q: %v, want %v", c.a, c.b, !c.same, c.same)
		}
	}
}
