package check

import (
	"fmt"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/slip"
)

// These tests check both sides of each rule that the threshold tests do not
// cover; the numbers are repeated here on purpose.

// tenfold is a log of a part whose first can diameter was written a tenth too
// small.
func tenfold(t *testing.T) (*model, *row, candidate) {
	t.Helper()
	tab := newTable(read(t, "maker,part,can_od_mm,can_height_mm\nSkerrow,SK 1,7.6,80\n"+strings.Repeat("Skerrow,SK 1,76.0,80\n", 4)))
	m := newModel(tab)
	x := tab.blank
	tab.load(0, &x)
	return m, &x, candidate{Slip: slip.Slip{Kind: slip.Decimal, Factor: 10}, changes: []change{{canOD, 76}}}
}

// A slip is reported where its gain after the penalty exceeds 4.
func TestLeastGainRule(t *testing.T) {
	m, x, c := tenfold(t)
	if !m.weigh(0, x, &c) {
		t.Fatal("the row does not gain")
	}
	all := c.gain
	for gain, named := range map[float64]bool{3.9: false, 4.1: true} {
		c.penalty = all - gain
		if m.weigh(0, x, &c) != named {
			t.Errorf("a gain of %g: named %t", gain, !named)
		}
	}
}

// A slip is sure where its gain exceeds 25 and no other explanation comes within
// 12; another one within 4 leaves open what was meant, or which reading is wrong.
func TestSureSlipRules(t *testing.T) {
	for _, c := range []struct {
		gain, otherValue, otherReading float64
		suggested, sure                bool
	}{
		{24.9, 0, 0, true, false}, {25.1, 0, 0, true, true},
		{40, 28.1, 0, true, false}, {40, 27.9, 0, true, true}, {40, 0, 28.1, true, false}, {40, 0, 27.9, true, true},
		{40, 35.9, 0, true, false}, {40, 36.1, 0, false, false}, {40, 0, 35.9, true, false}, {40, 0, 36.1, false, false},
	} {
		m, x, best := tenfold(t)
		best.gain = c.gain
		f := &findings{log: m.t.log, doubted: map[dataset.CellRef]bool{}}
		m.report(0, x, &verdict{best: best, otherValue: c.otherValue, otherReading: c.otherReading, instead: []change{{canHeight, 8}}}, f)
		if suggested := len(f.suggestions) == 1; suggested != c.suggested || suggested && f.suggestions[0].Sure != c.sure {
			t.Errorf("%+v: %+v", c, f.suggestions)
		}
	}
}

// A history needs two other openings of the part.
func TestHistoryRule(t *testing.T) {
	for others, known := range map[int]bool{1: false, 2: true} {
		tab := newTable(read(t, "maker,part,total_mass_g\n"+strings.Repeat("Skerrow,SK 1,205\n", 1+others)))
		if got := tab.history(0, totalMass); (got == got) != known {
			t.Errorf("%d other openings: %g", others, got)
		}
	}
}

// The centre of a relation is estimated from the log where it has 8 readings, and
// taken from common practice otherwise.
func TestReadingsOfARelationRule(t *testing.T) {
	for n, own := range map[int]bool{7: false, 8: true} {
		text := "maker,part,can_od_mm\n"
		for i := range n {
			text += fmt.Sprintf("Skerrow,SK %d,%d\n", i, 110+i)
		}
		m := newModel(newTable(read(t, text)))
		for k := range m.relations {
			if r := &m.relations[k]; r.marginal() && len(r.of) == 1 && r.of[0] == canOD && (r.centre > 4.65) != own {
				t.Errorf("%d readings about 113 mm: the middle is taken to be %g", n, r.centre)
			}
		}
	}
}
