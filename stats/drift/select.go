package drift

import (
	"fmt"
	"math"
	"slices"

	"pleatstat/stats/num"
)

// Multiple testing. Naming a maker is what matters to others, so makers are
// selected first, then measures within the selected makers, then the maker's own
// entry and its parts within those, each level at the rate left by the selection
// above it (Benjamini and Bogomolov 2014, J. R. Statist. Soc. B 76, 297–318;
// Yekutieli 2008, J. Am. Statist. Ass. 103, 309–316). A maker that truly changed
// in five measures then does not make a false verdict on another more likely.
//
// The p of a group is Simes's combination of its members' (Simes 1986, Biometrika
// 73, 751–754). It holds under the positive dependence of the measures of one
// can, and selects a group exactly where at least one of its members is rejected
// at the same level.

// node is a group in the tree of tests: all makers, a maker, a measure of one, or
// an entry.
type node struct {
	p        float64
	weight   float64 // has mean 1 over the members of a group
	children []*node
	of       *candidate // set in a leaf
	makers   bool       // the root
}

// weighted is the p value divided by its weight.
func (n *node) weighted() float64 { return math.Min(1, n.p/n.weight) }

// combine sets p from those of the children, from the leaves up.
func (n *node) combine() {
	if n.of != nil {
		return
	}
	p := make([]float64, len(n.children))
	for i, c := range n.children {
		c.combine()
		p[i] = c.weighted()
	}
	slices.Sort(p)
	n.p = 1
	for i, v := range p {
		n.p = math.Min(n.p, v*float64(len(p))/float64(i+1))
	}
}

// settle corrects over the children of a group whose own q is above. factor is
// the inverse of the share of the level left by the selections so far. The q of
// an entry is the largest on its path from the root: at most falseRate means
// selected at every level.
func (n *node) settle(above, factor float64) error {
	if n.of != nil {
		n.of.Q = above
		return nil
	}
	p := make([]float64, len(n.children))
	for i, c := range n.children {
		p[i] = math.Min(1, c.weighted())
	}
	q, err := n.rate(p)
	if err != nil {
		return err
	}
	selected := 0
	for i := range q {
		if q[i] = math.Max(above, math.Min(1, q[i]*factor)); q[i] <= falseRate {
			selected++
		}
	}
	if n.makers {
		selected--
	}
	inner := factor * float64(len(p)) / float64(max(1, selected))
	for i, c := range n.children {
		if err := c.settle(q[i], inner); err != nil {
			return err
		}
	}
	return nil
}

// rate returns the q values of p. Over makers it is stricter than Benjamini and
// Hochberg's by one: the k-th smallest p is compared with k-1 shares of the
// level, the smallest with one. Theirs bounds the mean over logs of each log's
// share of unchanged makers among those named. A reader of many logs meets the
// pooled share among all makers named, in which a log with a false name weighs
// more, since it names one maker more. Where one maker of twelve changes the
// pooled share is 0.08 by theirs, and 0.05 by this rule.
func (n *node) rate(p []float64) ([]float64, error) {
	if !n.makers {
		return num.BenjaminiHochberg(p)
	}
	order := num.AllRows(len(p))
	slices.SortStableFunc(order, func(a, b int) int { return num.Compare(p[b], p[a]) })
	q, least := make([]float64, len(p)), 1.0
	for i, at := range order { // largest first
		k := len(p) - i
		least = math.Min(least, p[at]*float64(len(p))/float64(max(1, k-1)))
		q[at] = least
	}
	return q, nil
}

// alone sets the level of every entry: the p up to which it would be reported if
// nothing else in the log had changed.
func (n *node) alone(level float64) {
	if n.of != nil {
		n.of.level = level
		return
	}
	for _, c := range n.children {
		c.alone(level * c.weight / float64(len(n.children)))
	}
}

// tree groups the tests: makers, their measures, and in each the maker's own
// entry, with makerShare of the level, and those of the parts.
func tree(all []*candidate) *node {
	root := &node{makers: true}
	makers := map[string]*node{}
	measures := map[[2]string]*node{}
	for _, k := range all {
		if math.IsNaN(k.P) {
			continue
		}
		m := makers[k.Maker]
		if m == nil {
			m = &node{weight: 1}
			makers[k.Maker], root.children = m, append(root.children, m)
		}
		key := [2]string{k.Maker, k.Measure}
		g := measures[key]
		if g == nil {
			g = &node{weight: 1}
			measures[key], m.children = g, append(m.children, g)
		}
		g.children = append(g.children, &node{p: k.P, of: k})
	}
	for _, g := range measures {
		g.share()
	}
	return root
}

// share gives the maker's own entry its share of the level, and the parts
// together the rest, whatever their number (weights as in Genovese, Roeder and
// Wasserman 2006, Biometrika 93, 509–524).
func (n *node) share() {
	own, parts := 0.0, 0.0
	for _, c := range n.children {
		if c.of.Part == "" {
			own++
		} else {
			parts++
		}
	}
	for _, c := range n.children {
		switch {
		case own == 0 || parts == 0:
			c.weight = 1
		case c.of.Part == "":
			c.weight = makerShare * (own + parts) / own
		default:
			c.weight = (1 - makerShare) * (own + parts) / parts
		}
	}
}

// correct sets Q and the level of every test.
func correct(all []*candidate) error {
	root := tree(all)
	root.combine()
	root.alone(falseRate)
	if err := root.settle(0, 1); err != nil {
		return fmt.Errorf("correcting over makers and measures: %w", err)
	}
	return nil
}
