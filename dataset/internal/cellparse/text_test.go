package cellparse

import "testing"

// A spreadsheet runs a text that starts with =, +, - or @ (common practice, no
// source); some also with the full-width forms.
func TestEscapeFormula(t *testing.T) {
	for in, want := range map[string]string{
		"-0.5": "-0.5", "+1e3": "+1e3", "-": "-", "": "", "Skerrow": "Skerrow", "SK-1": "SK-1", "'": "'", "é=1": "é=1",
		"=A1": "'=A1", "-A1": "'-A1", " =A1": "' =A1", "\u00a0=A1": "'\u00a0=A1", "\t@x": "'\t@x", "@x": "'@x", "+": "'+",
		"＝A1": "'＝A1", "＋1": "'＋1", "－A1": "'－A1", "＠x": "'＠x", "-inf": "'-inf", "+0x1p4": "'+0x1p4", "-1+2": "'-1+2", "\xff=": "\xff=",
	} {
		got := EscapeFormula(in)
		if got != want {
			t.Errorf("EscapeFormula(%q) = %q, want %q", in, got, want)
		}
		if back := UnescapeFormula(got); back != in {
			t.Errorf("%q comes back as %q", in, back)
		}
		if again := EscapeFormula(got); again != got {
			t.Errorf("defused twice %q becomes %q", in, again)
		}
	}
	for _, in := range []string{"", "'", "''", "'SK-1", "SK'=1"} {
		if got := UnescapeFormula(in); got != in {
			t.Errorf("fuse(%q) = %q", in, got)
		}
	}
}
