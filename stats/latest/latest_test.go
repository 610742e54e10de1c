package latest

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset"
	"pleatstat/stats/card"
	"pleatstat/stats/drift"
)

func basisOf(t *testing.T, text string) *card.Basis {
	t.Helper()
	log, err := dataset.Read(strings.NewReader(text), "log.csv", dataset.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := card.Prepare(context.Background(), log, card.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

const few = `opened,maker,part,price,can_gauge_mm,pleats
2024-03-01,Skerrow,SK-1,8.99,0.41,50
2024-05-02,Skerrow,SK-2,8.99,0.42,51
2024-05-02,Lowmere,L1,8.99,0.43,52
2024-02-01,Skerrow,SK-1,8.99,0.41,50
`

// The openings reported are those of the last date, since a date, or the last
// rows in file order; a last row of another date is pointed out.
func TestWhichOpeningsAreTold(t *testing.T) {
	b := basisOf(t, few)
	since := func(iso string) Options {
		when, err := dataset.Read(strings.NewReader("opened,maker,part,pleats\n"+iso+",a,b,1\n"), "", dataset.Options{})
		if err != nil {
			t.Fatal(err)
		}
		day, _, _ := when.Opened(0)
		return Options{Since: drift.Year(day)}
	}
	for _, c := range []struct {
		o       Options
		lines   string
		notTold int
	}{
		{Options{}, "[3 4]", 5}, {since("2024-03-01"), "[2 3 4]", 0}, {Options{Rows: 1}, "[5]", 0}, {Options{Rows: 9}, "[2 3 4 5]", 0},
	} {
		l, err := Build(b, c.o)
		if err != nil {
			t.Fatal(err)
		}
		var lines []int
		for _, o := range l.Openings {
			lines = append(lines, o.Line)
		}
		if got := fmt.Sprint(lines); got != c.lines || l.OmittedLine != c.notTold {
			t.Errorf("%+v tells %s, and %d is not told", c.o, got, l.OmittedLine)
		}
	}
	var none *NoneError
	if _, err := Build(b, since("2025-01-01")); !errors.As(err, &none) || none.Last != "2024-05-02" {
		t.Errorf("since a later date: %v", err)
	}
}

// An opening is the first of the log, of its maker or of its part by date, not by
// the order of the rows.
func TestWhatAnOpeningIsTheFirstOf(t *testing.T) {
	l, err := Build(basisOf(t, few), Options{Rows: 4})
	if err != nil {
		t.Fatal(err)
	}
	want := []First{Again, OfPart, OfMaker, OfLog}
	for i, o := range l.Openings {
		if o.First != want[i] {
			t.Errorf("line %d is the first of %q, want %q", o.Line, o.First, want[i])
		}
	}
}

// Of many places those nearest to either end are reported, each ranking once.
func TestPlacesWorthTelling(t *testing.T) {
	log := basisOf(t, "opened,maker,part,total_mass_g\n2024-01-01,Skerrow,SK-1,180\n").Log
	got := places(log, 0, []card.Place{
		{Ranking: "a", Rank: 3, Of: 60}, {Ranking: "b", Rank: 60, Of: 60}, {Ranking: "c", Rank: 30, Of: 60},
		{Ranking: "a", Rank: 1, Of: 20, Thread: "M20x1.5"}, {Ranking: "d", Rank: 2, Of: 60}, {Ranking: "e", Rank: 1, Of: 5},
	})
	var said []string
	for _, n := range got {
		said = append(said, fmt.Sprint(n.Place.Ranking, n.Place.Of))
	}
	if !slices.Equal(said, []string{"b60", "d60"}) {
		t.Errorf("told are %v", said)
	}
}

// Missing measures are reported by what they would have shown: first what the
// price verdict needs, then what the earlier openings have.
func TestWhatIsMissing(t *testing.T) {
	var text strings.Builder
	text.WriteString("opened,maker,part,price,media_length_mm,element_width_mm,can_gauge_mm\n")
	for i := range 10 {
		fmt.Fprintf(&text, "2024-01-%02d,Skerrow,SK-%d,%d.50,1500,%d,0.4%d\n", i+1, i, 6+i%3, 36+i%5, i)
	}
	for last, want := range map[string]string{
		"2024-03-01,Lowmere,L1,,1500,40,0.40\n":    "price [price]",
		"2024-03-01,Lowmere,L1,8,,,0.40\n":         "price [media_length element_width]",
		"2024-03-01,Skerrow,SK-1,8.50,1500,40,\n":  "earlier [can_gauge]",
		"2024-03-01,Lowmere,L1,8.50,1500,40,0.4\n": "place [pleats total_mass]",
	} {
		l, err := Build(basisOf(t, text.String()+last), Options{})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, n := range l.Openings[0].News {
			if n.Kind == Missing {
				got = fmt.Sprint(n.Why, " ", n.Missing)
			}
		}
		if got != want {
			t.Errorf("%q: missing is %q, want %q", last, got, want)
		}
	}
}
