package logs

import (
	"io"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/encode"
	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset/catalogue"
)

type columnJSON struct {
	Name       string         `json:"name"`
	Kind       catalogue.Kind `json:"kind"`
	Unit       string         `json:"unit" null:"zero"`
	Synonyms   []string       `json:"synonyms"`
	Categories []string       `json:"categories"`
	Words      wordsOfJSON    `json:"category_words"`
	Derived    bool           `json:"derived"`
	Required   bool           `json:"required"`
	Meaning    string         `json:"meaning"`
	HowTo      string         `json:"how_to"`
	NeededBy   []string       `json:"needed_by"`
}

// ColumnsJSON writes the description of every recorded and derived column.
func ColumnsJSON(w io.Writer, recorded, derived []catalogue.Column) error {
	all := make([]columnJSON, 0, len(recorded)+len(derived))
	for _, c := range append(recorded[:len(recorded):len(recorded)], derived...) {
		all = append(all, columnJSON{c.Name, c.Kind, c.Unit, c.Synonyms, c.Categories,
			wordsFor(c), c.Derived, required(c), c.Meaning, c.HowTo, c.NeededBy})
	}
	return encode.JSON(w, struct {
		Schema  string       `json:"schema"`
		Caution string       `json:"caution"`
		Columns []columnJSON `json:"columns"`
	}{"pleatstat/columns/1", cuttingCaution, all})
}

// wordsOfJSON holds the other words for each category.
type wordsOfJSON map[string][]string

func wordsFor(c catalogue.Column) wordsOfJSON {
	out := wordsOfJSON{}
	for _, name := range c.Categories {
		out[name] = append([]string{}, catalogue.CategoryWords(c.Name, name)...) // a list even if there are none
	}
	return out
}

func required(c catalogue.Column) bool { return c.Name == "maker" || c.Name == "part" }

// Columns explains every column of a log.
func Columns(t *wording.Text, recorded, derived []catalogue.Column) {
	t.Heading("Columns of a log")
	t.Para("Only maker, part and one measure, if only of your own, are required; leave blank what was not measured. " +
		"A unit may stand in the column's name (media_length_in, \"can gauge [mm]\") or in the cell. " +
		"Headers are read by their parts, in any order (\"wall (thou)\", \"paper wt\", \"# folds\"); --column names one that is not. " +
		"A cell may be rough (~2, 62 (est)), hold several readings (0.47; 0.48 or 19/19.3/19.4) or, for a price, a pack (12.99 (2 pack)). " +
		"Columns of your own are kept and can be used with the trend command.")
	t.Blank()
	t.Para(cuttingCaution)
	t.Blank()
	for _, c := range recorded {
		columnGuide(t, c)
	}
	t.Heading("Computed from them")
	for _, c := range derived {
		columnGuide(t, c)
	}
}

// cuttingCaution comes before any instruction to measure.
const cuttingCaution = "Before cutting: let the filter drain, wear gloves and eye protection, mind the edges of cut sheet metal, which are sharp, " +
	"and make no sparks near oily media: use a hand cutter, not a grinder."

func columnGuide(t *wording.Text, c catalogue.Column) {
	head := c.Name
	kind := string(c.Kind)
	if c.Unit != "" {
		kind += ", " + c.Unit
	}
	head += " (" + kind
	if required(c) {
		head += "; required"
	}
	t.Item(head + "): " + c.Meaning + ".")
	if len(c.Categories) > 0 {
		t.Detail("One of: " + strings.Join(c.Categories, ", ") + "; another word stays a kind of its own.")
		for _, name := range c.Categories {
			if words := catalogue.CategoryWords(c.Name, name); len(words) > 0 {
				t.Detail(name + " is also written " + strings.Join(words, ", ") + ".")
			}
		}
	}
	if c.HowTo != "" {
		how := "How to measure: "
		if c.Derived {
			how = "Computed: "
		}
		t.Detail(how + c.HowTo + ".")
	}
	if len(c.NeededBy) > 0 {
		t.Detail("For: " + strings.Join(c.NeededBy, ", ") + ".")
	}
	if len(c.Synonyms) > 0 {
		t.Detail("Also called: " + strings.Join(c.Synonyms, ", ") + ".")
	}
}
