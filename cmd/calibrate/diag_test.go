package main

import (
	"encoding/gob"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"sync"
	"testing"

	"pleatstat/stats"
	"pleatstat/stats/outlier"
)

type dumped struct {
	Planted []bool
	Far     []bool
	D       []outlier.Dump
}
type cellDump struct {
	Kind  string
	N     int
	Share float64
	Logs  []dumped
}

func TestDump(t *testing.T) {
	if os.Getenv("DUMP") == "" {
		t.Skip()
	}
	runs, _ := strconv.Atoi(os.Getenv("RUNS"))
	f, _ := os.Create(os.Getenv("DUMP"))
	enc := gob.NewEncoder(f)
	for _, n := range dumpSizes() {
		for _, k := range []kind{normal, tails, skewedUp, skewedDown, gammaUp} {
			for _, share := range []float64{0, .08, .2} {
				if share == .2 && k != normal || n == 300 && (k == skewedDown) {
					continue
				}
				s := scenario{n: n, kind: k, share: share, factor: 2.2, place: anywhere}
				each, err := inParallel(runs*60/max(n, 60)+20, 11, func(rng *rand.Rand) (dumped, error) {
					m := s.draw(rng)
					f, err := stats.RobustLine(stats.Design{Columns: [][]float64{m.area}}, m.price, stats.RobustOptions{})
					if err != nil {
						return dumped{}, err
					}
					if os.Getenv("KNOWN") != "" {
						r, v := make([]float64, len(m.price)), make([]float64, len(m.price))
						for i := range r {
							r[i] = m.price[i] - trueSlope*m.area[i]
						}
						o := outlier.FitErrors(r, v, f.Scale)
						d := dumped{Planted: m.planted, D: o.Dump()}
						for _, r := range r {
							d.Far = append(d.Far, r >= math.Log(1.25))
						}
						return d, nil
					}
					o, err := outlier.Fit([][]float64{m.area}, m.price, outlier.Start{Fitted: f.Fitted, Scale: f.Scale})
					if err != nil {
						return dumped{}, err
					}
					d := dumped{Planted: m.planted, D: o.Dump()}
					for _, r := range o.Residual {
						d.Far = append(d.Far, r >= math.Log(1.25))
					}
					return d, nil
				})
				if err != nil {
					t.Fatal(err)
				}
				if err := enc.Encode(cellDump{string(k), n, share, each}); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	f.Close()
}

type prior struct {
	name   string
	shapes [6]float64
	groups [7]float64 // factors
}

func TestTune(t *testing.T) {
	path := os.Getenv("TUNE")
	if path == "" {
		t.Skip()
	}
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	dec := gob.NewDecoder(f)
	var cells []cellDump
	for {
		var c cellDump
		if dec.Decode(&c) != nil {
			break
		}
		cells = append(cells, c)
	}
	sh := func(v ...float64) (o [6]float64) { copy(o[:], v); return }
	gr := func(v ...float64) (o [7]float64) { copy(o[:], v); return }
	base := sh(.30, .10, .10, .20, .15, .15)
	ones := gr(1, 1, 1, 1, 1, 1, 1)
	priors := []prior{
		{"now", base, ones},
		{"few x3", base, gr(1, 3, 3, 3, 3, 1, 1)},
		{"few x10", base, gr(1, 10, 10, 10, 10, 1, 1)},
		{"many x3", base, gr(1, 1, 1, 3, 3, 1, 1)},
		{"n.5 t.2 g.05 few x3", sh(.50, .10, .10, .15, .10, .05), gr(1, 3, 3, 3, 3, 1, 1)},
		{"n.6 t.2 g.05 ", sh(.60, .10, .10, .10, .05, .05), gr(1, 1, 1, 1, 1, 1, 1)},
		{"n.6 t.2 g.05 few3", sh(.60, .10, .10, .10, .05, .05), gr(1, 3, 3, 3, 3, 1, 1)},
		{"n.6 t4 .2 g.05 few3", sh(.60, .0001, .20, .10, .05, .05), gr(1, 3, 3, 3, 3, 1, 1)},
	}
	fmt.Printf("%-34s", "")
	for _, p := range priors {
		fmt.Printf(" | %-30s", p.name)
	}
	fmt.Println()
	for _, c := range cells {
		fmt.Printf("%-20s %3d %.2f %3d", c.Kind, c.N, c.Share, len(c.Logs))
		for _, p := range priors {
			var clear, even flagTally
			w := 1 / float64(len(c.Logs))
			for _, l := range c.Logs {
				_, qp, qe, _, _ := evaluate(l, p)
				flag := func(q []float64) func(int) bool { return func(i int) bool { return q[i] <= .05 && l.Far[i] } }
				clear.clear.add(scoreOf(l.Planted, flag(qp)), w)
				even.clear.add(scoreOf(l.Planted, flag(qe)), w)
			}
			s := func(f flagTally) string {
				if c.Share == 0 {
					return fmt.Sprintf("     %.3f     ", f.clear.anyFalse)
				}
				return fmt.Sprintf("%.3f %.2f", f.clear.rate, f.clear.power)
			}
			fmt.Printf(" | %s / %s", s(clear), s(even))
		}
		fmt.Println()
	}
}

func evaluate(l dumped, pr prior) (q, qp, qe []float64, chances [6]float64, scale float64) {
	n := len(l.Planted)
	logs := make([]float64, len(l.D))
	most := math.Inf(-1)
	for k, d := range l.D {
		logs[k] = d.Log + math.Log(pr.shapes[d.Shape]*pr.groups[d.Group])
		most = math.Max(most, logs[k])
	}
	total := 0.0
	for k := range logs {
		logs[k] = math.Exp(logs[k] - most)
		total += logs[k]
	}
	p := make([][]float64, 6)
	for s := range p {
		p[s] = make([]float64, n)
	}
	for k, d := range l.D {
		chances[d.Shape] += logs[k] / total
	}
	qp = make([]float64, n)
	for k, d := range l.D {
		w := logs[k] / total
		for i, v := range d.P {
			p[d.Shape][i] += w / chances[d.Shape] * float64(v)
			qp[i] += w * float64(v)
		}
		if d.Shape == 0 {
			scale += w / chances[0] * d.Scale
		}
	}
	q = make([]float64, n)
	for s := range p {
		if chances[s] == 0 {
			continue
		}
		for i := range p[s] {
			p[s][i] = math.Min(1, p[s][i])
		}
		each, err := stats.BenjaminiHochberg(p[s])
		if err != nil {
			panic(err)
		}
		if s == 0 {
			qe = each
		}
		for i := range q {
			q[i] += chances[s] * each[i]
		}
	}
	for i := range qp {
		qp[i] = math.Min(1, qp[i])
	}
	qp, _ = stats.BenjaminiHochberg(qp)
	if qe == nil {
		qe = qp
	}
	return
}

type rule struct {
	prior
	alpha, top float64
}

func (r rule) String() string {
	return fmt.Sprintf("shapes %.3f few %.1f many %.1f partly %.1f alpha %.3f", r.shapes, r.groups[1], r.groups[3], r.groups[5], r.alpha)
}

func TestSearch(t *testing.T) {
	path := os.Getenv("SEARCH")
	if path == "" {
		t.Skip()
	}
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	dec := gob.NewDecoder(f)
	var cells []cellDump
	for {
		var c cellDump
		if dec.Decode(&c) != nil {
			break
		}
		cells = append(cells, c)
	}
	bars := map[string]float64{"normal": .05, "t(5)": .08, "skewed up, 0.5": .05, "skewed down, 0.5": .05, "gamma, skewness 1": .08}
	eval := func(r rule) (score float64, lines []string) {
		results := make([][2]flagTally, len(cells))
		var wg sync.WaitGroup
		for k, c := range cells {
			wg.Add(1)
			go func() {
				defer wg.Done()
				var clear, even flagTally
				w := 1 / float64(len(c.Logs))
				for _, l := range c.Logs {
					q, ok, qe := decide(l, r)
					clear.clear.add(scoreOf(l.Planted, func(i int) bool { return q[i] <= r.alpha && ok[i] && l.Far[i] }), w)
					even.clear.add(scoreOf(l.Planted, func(i int) bool { return qe[i] <= .05 && l.Far[i] }), w)
				}
				results[k] = [2]flagTally{clear, even}
			}()
		}
		wg.Wait()
		for k, c := range cells {
			a, b := results[k][0].clear, results[k][1].clear
			bar := bars[c.Kind]
			rate := a.rate
			if c.Share == 0 {
				rate = a.anyFalse
			}
			if over := rate - bar - .018; over > 0 {
				score -= 40 * over * math.Min(1, over/.01)
			}
			if c.Kind == "normal" {
				score += 2 * math.Min(a.power, map[int]float64{60: .2, 120: .3, 300: .35}[c.N]) + .2*a.power
				score += .5 * math.Min(b.power, map[float64]map[int]float64{.08: {60: .39, 120: .55, 300: .58}, .2: {60: .57, 120: .72, 300: .76}, 0: {}}[c.Share][c.N])
				if over := b.rate - .05; over > 0 {
					score -= 40 * over * math.Min(1, over/.01)
				}
			} else {
				score += .3 * a.power
			}
			lines = append(lines, fmt.Sprintf("%-20s %3d %.2f clear %.3f %.3f %.2f even %.3f %.3f %.2f", c.Kind, c.N, c.Share, a.rate, a.anyFalse, a.power, b.rate, b.anyFalse, b.power))
		}
		return score, lines
	}
	rng := rand.New(rand.NewPCG(5, 5))
	best := rule{prior{"", [6]float64{.30, .10, .10, .20, .15, .15}, [7]float64{1, 3, 3, 6, 6, 1, 1}}, .05, .5}
	top, lines := eval(best)
	fmt.Println(top, best)
	tries, _ := strconv.Atoi(os.Getenv("TRIES"))
	for range tries {
		r := best
		for i := range r.shapes {
			r.shapes[i] *= math.Exp(.4 * rng.NormFloat64())
		}
		total := 0.0
		for _, v := range r.shapes {
			total += v
		}
		for i := range r.shapes {
			r.shapes[i] /= total
		}
		few, many, part := math.Exp(.3*rng.NormFloat64()), math.Exp(.3*rng.NormFloat64()), math.Exp(.3*rng.NormFloat64())
		for i, v := range []float64{1, few, few, many, many, part, part} {
			r.groups[i] *= v
		}
		if os.Getenv("ALPHA") == "" {
			r.alpha = math.Min(.2, r.alpha*math.Exp(.2*rng.NormFloat64()))
		}
		if score, l := eval(r); score > top {
			top, best, lines = score, r, l
			fmt.Println(top, best)
		}
	}
	for _, l := range lines {
		fmt.Println(l)
	}
}

func decide(l dumped, r rule) (q []float64, ok []bool, qe []float64) {
	n := len(l.Planted)
	var logs [64]float64
	most := math.Inf(-1)
	for k, d := range l.D {
		logs[k] = d.Log + math.Log(r.shapes[d.Shape]*r.groups[d.Group])
		most = math.Max(most, logs[k])
	}
	total := 0.0
	for k := range l.D {
		logs[k] = math.Exp(logs[k] - most)
		total += logs[k]
	}
	var p [6][]float64
	var chances [6]float64
	for k, d := range l.D {
		chances[d.Shape] += logs[k] / total
	}
	mean := make([]float64, n)
	for k, d := range l.D {
		w := logs[k] / total
		if p[d.Shape] == nil {
			p[d.Shape] = make([]float64, n)
		}
		for i, v := range d.P {
			p[d.Shape][i] += w / chances[d.Shape] * float64(v)
			mean[i] += w * float64(v)
		}
	}
	bh := func(p []float64) []float64 {
		for i := range p {
			p[i] = math.Min(1, p[i])
		}
		out, err := stats.BenjaminiHochberg(p)
		if err != nil {
			panic(err)
		}
		return out
	}
	q = bh(mean)
	if p[0] != nil {
		qe = bh(p[0])
	} else {
		qe = q
	}
	best := 0
	for s, c := range chances {
		if c > chances[best] {
			best = s
		}
	}
	qt := bh(p[best])
	ok = make([]bool, n)
	for i := range ok {
		ok[i] = qt[i] <= .05 && qe[i] <= .05
	}
	return q, ok, qe
}

func dumpSizes() []int {
	if os.Getenv("N") != "" {
		n, _ := strconv.Atoi(os.Getenv("N"))
		return []int{n}
	}
	return []int{60, 120, 300}
}
