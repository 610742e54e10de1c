package plots

import (
	"bytes"
	"errors"
	"math"
	"testing"

	"pleatstat/plots/words"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

func TestPricesTitleAndOrder(t *testing.T) {
	js := judgements(20)
	c, err := Prices(js, harbourSource())
	if err != nil {
		t.Fatal(err)
	}
	above, below := 0, 0
	for _, j := range js {
		told := j.Grade == trend.Clear || j.Grade == trend.Probable
		above += int(b2f(told && j.Direction == price.Above))
		below += int(b2f(told && j.Direction == price.Below))
	}
	if above != 2 || below != 1 {
		t.Fatalf("the fixture has %d above and %d below", above, below)
	}
	if want := "Lowmere AX-861 and Wexcombe NL-234 cost more than their contents usually do, Wexcombe LT-721 less"; c.Title != want {
		t.Errorf("title %q, want %q", c.Title, want)
	}
	b, err := Render(c, Options{Format: SVG, Size: Size{1080, 1920}})
	if err != nil {
		t.Fatal(err)
	}
	first, last := bytes.Index(b, []byte("+110\u00a0%")), bytes.Index(b, []byte(words.Minus+"48\u00a0%"))
	if first < 0 || last < first {
		t.Errorf("dearest at %d, cheapest at %d: want the dearest first", first, last)
	}
	if !bytes.Contains(b, []byte(", usual $")) {
		t.Error("no tooltip with the price")
	}
}

func TestPriceChartsWithNothingToDraw(t *testing.T) {
	few := price.Judgement{Verdict: price.Verdict{Grade: trend.CannotSay, Price: 5, Fair: math.NaN()}, Needed: 6}
	nan := judgements(1)[0]
	nan.Fair = math.NaN()
	for _, j := range []price.Judgement{few, nan, {}} {
		if _, err := Prices([]price.Judgement{j}, Source{}); !errors.Is(err, ErrNothingToDraw) {
			t.Errorf("Prices: error %v, want ErrNothingToDraw", err)
		}
		if _, err := Contributions(j, Source{}); !errors.Is(err, ErrNothingToDraw) {
			t.Errorf("Contributions: error %v, want ErrNothingToDraw", err)
		}
	}
	zero := judgements(1)[0]
	zero.Contributions[0].Factor = 0
	if _, err := Contributions(zero, Source{}); !errors.Is(err, ErrNothingToDraw) {
		t.Errorf("a factor of zero: error %v", err)
	}
}

func TestPriceLayouts(t *testing.T) {
	for _, n := range []int{1, 2, 14, 60} {
		js := judgements(n)
		js[0].Maker = "A maker of a name that is far too long to be written beside a bar"
		c, err := Prices(js, harbourSource())
		if err != nil {
			t.Fatal(err)
		}
		for _, size := range screenSizes() {
			checkLayout(t, c, size)
		}
	}
	j := judgements(3)[2]
	for range 4 { // more contents than a page holds
		j.Contributions = append(j.Contributions, j.Contributions...)
	}
	for _, j := range []price.Judgement{judgements(1)[0], judgements(3)[2], j} {
		c, err := Contributions(j, harbourSource())
		if err != nil {
			t.Fatal(err)
		}
		for _, size := range screenSizes() {
			checkLayout(t, c, size)
		}
	}
}

// The rows shown, with the one that counts the rest, must fit into the room.
func TestEnds(t *testing.T) {
	for n := range 60 {
		for room := 3; room < 40; room++ {
			first, last := ends(n, room)
			shown := n - (last - first)
			if last > first {
				shown++ // the line that counts the rest
			}
			if first > last || last > n || shown > room {
				t.Fatalf("ends(%d, %d) = %d, %d shows %d rows", n, room, first, last, shown)
			}
		}
	}
}
