package dataset

import "testing"

// The column has one spelling of each thread; the cell keeps its original text.
func TestThreadColumn(t *testing.T) {
	l := mustRead(t, "maker,part,thread,pleats\nSkerrow,SK 1,M20 × 1.5,50\nSkerrow,SK 2,\"3/4\"\"-16\",50\nSkerrow,SK 3,G 3/4,50\n", Options{})
	got := l.Strings("thread")
	if got[0] != "M20x1.5" || got[1] != "3/4-16" || got[2] != "G 3/4" {
		t.Errorf("%q", got)
	}
	if c, _ := l.Cell(0, "thread"); c.Text != "M20 × 1.5" {
		t.Errorf("the cell says %q", c.Text)
	}
}
