package render

import (
	"io"
	"strconv"
	"strings"

	"pleatstat/dataset"
	"pleatstat/stats/compare"
	"pleatstat/stats/drift"
	"pleatstat/stats/price"
)

type comparedJSON struct {
	Maker    string         `json:"maker"`
	Part     string         `json:"part"`
	When     string         `json:"when,omitempty"` // year, of a part then and now
	Parts    int            `json:"parts"`
	Openings int            `json:"openings"`
	Lines    []int          `json:"lines"`
	Verdict  *price.Verdict `json:"verdict"`
}

type valueJSON struct {
	Mean num `json:"mean"`
	N    int `json:"n"`
	SE   num `json:"se"`
	// Stale: all from before a change of the maker.
	Stale bool `json:"stale"`
}

type differenceJSON struct {
	By     num  `json:"by"`
	Ratio  num  `json:"ratio"`
	Limit  num  `json:"limit"`
	Beyond bool `json:"beyond"`
	// What the bench alone may differ by, and whether this is more.
	BenchLimit num  `json:"bench_limit"`
	BenchTells bool `json:"bench_tells"`
	P          num  `json:"p"`
	Q          num  `json:"q"`
}

type measureJSON struct {
	Column      string           `json:"column"`
	Group       compare.Group    `json:"group"`
	Basis       compare.Basis    `json:"basis"`
	Scatter     num              `json:"scatter"`
	Relative    bool             `json:"relative"`
	Pairs       int              `json:"pairs"`
	Derived     bool             `json:"derived"`
	Values      []valueJSON      `json:"values"`
	Differences []differenceJSON `json:"differences"`
	Most        *int             `json:"most"`
}

type wordsJSON struct {
	Column  string        `json:"column"`
	Group   compare.Group `json:"group"`
	Values  [][]string    `json:"values"`
	Differs bool          `json:"differs"`
}

type onlyJSON struct {
	Column  string   `json:"column"`
	Product int      `json:"product"`
	Value   num      `json:"value"`
	N       int      `json:"n"`
	Words   []string `json:"words"`
}

// changedJSON is what a maker changed in a product compared.
type changedJSON struct {
	Product int           `json:"product"`
	Measure string        `json:"measure"`
	Verdict drift.Verdict `json:"verdict"`
	Shape   drift.Shape   `json:"shape"`
	From    *string       `json:"from"`
	Then    num           `json:"then"`
	Now     num           `json:"now"`
	NThen   int           `json:"n_then"`
	NNow    int           `json:"n_now"`
}

// notComparedJSON is a reading that does not count.
type notComparedJSON struct {
	Product int    `json:"product"`
	Column  string `json:"column"`
	Line    int    `json:"line"`
	Value   num    `json:"value"`
}

type compareJSON struct {
	Schema   string            `json:"schema"`
	Log      readLogJSON       `json:"log"`
	Kind     compare.Kind      `json:"kind"`
	MoneyOf  num               `json:"money_of"`
	Products []comparedJSON    `json:"products"`
	Changes  []changedJSON     `json:"changes"`
	Doubted  []notComparedJSON `json:"doubted"`
	Measures []measureJSON     `json:"measures"`
	Words    []wordsJSON       `json:"words"`
	Only     []onlyJSON        `json:"only"`
	Prices   []judgementJSON   `json:"prices"`
	Warnings []string          `json:"warnings"`
}

// CompareJSON writes a comparison for programs: base units; differences are of
// each product after the first from the first; places count from 0.
func CompareJSON(w io.Writer, log *dataset.Log, c *compare.Comparison) error {
	out := compareJSON{Schema: "pleatstat/compare/2", Log: readLogOf(log), Kind: c.Kind, MoneyOf: num(c.MoneyOf),
		Changes: []changedJSON{}, Doubted: []notComparedJSON{}, Products: []comparedJSON{}, Measures: []measureJSON{}, Words: []wordsJSON{},
		Only: []onlyJSON{}, Prices: judgementsOf(c.Prices), Warnings: list(c.Warnings)}
	for k, p := range c.Products {
		out.Products = append(out.Products, comparedJSON{p.Maker, p.Part, p.When, p.Parts, p.Openings, list(p.Lines), nil})
		if k < len(c.Prices) {
			out.Products[k].Verdict = &c.Prices[k].Verdict
		}
	}
	for _, k := range c.Changes {
		out.Changes = append(out.Changes, changedJSON{k.Place, k.Measure, k.Verdict, k.Shape, day(k.From), num(k.Then), num(k.Now), k.NThen, k.NNow})
	}
	for _, d := range c.Doubted {
		out.Doubted = append(out.Doubted, notComparedJSON{d.Place, d.Column, d.Line, num(d.Value)})
	}
	for _, m := range c.Measures {
		j := measureJSON{Column: m.Column, Group: m.Group, Basis: m.Basis, Scatter: num(m.Scatter), Relative: m.Relative, Pairs: m.Pairs, Derived: m.Derived, Values: []valueJSON{}, Differences: []differenceJSON{}, Most: countOrNull(m.Most, m.Most >= 0)}
		for _, v := range m.Values {
			j.Values = append(j.Values, valueJSON{num(v.Mean), v.N, num(v.SE), v.Stale})
		}
		for _, d := range m.Differences {
			j.Differences = append(j.Differences, differenceJSON{num(d.By), num(d.Ratio), num(d.Limit), d.Beyond, num(d.BenchLimit), d.BenchTells, num(d.P), num(d.Q)})
		}
		out.Measures = append(out.Measures, j)
	}
	for _, v := range c.Words {
		values := make([][]string, len(v.Values))
		for k, words := range v.Values {
			values[k] = list(words)
		}
		out.Words = append(out.Words, wordsJSON{v.Column, v.Group, values, v.Differs})
	}
	for _, o := range c.Only {
		out.Only = append(out.Only, onlyJSON{o.Column, o.Place, num(o.Value.Mean), o.Value.N, list(o.Words)})
	}
	return writeJSON(w, out)
}

// comparedName is a product of a comparison in a header.
func comparedName(p compare.Product) string {
	return strings.Join(strings.Fields(p.Maker+" "+p.Part+" "+p.When), " ")
}

// CompareCSV writes a comparison as a table, each row in the unit that stands in
// it, the log's own.
func CompareCSV(w io.Writer, c *compare.Comparison, u dataset.Units) error {
	header := []string{"measure", "unit"}
	for _, p := range c.Products {
		name := comparedName(p)
		header = append(header, name, "n of "+name)
	}
	for _, p := range c.Products[1:] {
		name := comparedName(p)
		header = append(header, "difference of "+name, "ratio of "+name, "differs: "+name)
	}
	var rows [][]string
	for _, m := range c.Measures {
		row := []string{m.Column, unitOf(u, m.Column)}
		for _, v := range m.Values {
			row = append(row, inUnit(u, m.Column, v.Mean), strconv.Itoa(v.N))
		}
		for _, d := range m.Differences {
			row = append(row, inUnit(u, m.Column, d.By), digitsOf(d.Ratio, 3), strconv.FormatBool(d.Beyond))
		}
		rows = append(rows, row)
	}
	for _, v := range c.Words {
		row := []string{v.Column, ""}
		for _, words := range v.Values {
			row = append(row, strings.Join(words, "; "), "")
		}
		for range c.Products[1:] {
			row = append(row, "", "", strconv.FormatBool(v.Differs))
		}
		rows = append(rows, row)
	}
	for _, o := range c.Only {
		row := make([]string, len(header))
		row[0], row[1] = o.Column, unitOf(u, o.Column)
		row[2+2*o.Place] = strings.Join(o.Words, "; ")
		if len(o.Words) == 0 {
			row[2+2*o.Place] = inUnit(u, o.Column, o.Value.Mean)
			row[2+2*o.Place+1] = strconv.Itoa(o.Value.N)
		}
		rows = append(rows, row)
	}
	return writeCSV(w, header, rows)
}
