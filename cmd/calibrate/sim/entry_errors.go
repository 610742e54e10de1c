package sim

import "strconv"

// EntryError is a row with one or two cells entered wrongly.
type EntryError struct {
	Kind  string           `json:"kind"`
	Line  int              `json:"line"`
	Maker string           `json:"maker"`
	Part  string           `json:"part"`
	Cells []EntryErrorCell `json:"cells"`
}

// EntryErrorCell is one cell of an entry error: the text in the log and the right
// one.
type EntryErrorCell struct {
	Column   string `json:"column"` // as in the header
	Number   int    `json:"number"` // 1-based field number
	Found    string `json:"found"`
	Intended string `json:"intended"`
}

// rowsPerError is the number of rows for each entry error in logs of at least
// 10,000 rows. Smaller logs have four errors.
const rowsPerError = 1000

var errorKinds = []string{"unit", "decimal", "swap", "transposition"}

// errorPlan spreads the entry errors evenly over the log. Each is made in the
// first suitable row at or after its position.
type errorPlan struct {
	rows, want int
	cols       map[string]int
	header     []string
	w          *workshop
	used       map[int32]bool // products that have an entry error
	done       []EntryError
}

func planEntryErrors(rows int, o WorkshopOptions, w *workshop, cols []column) *errorPlan {
	p := &errorPlan{rows: rows, w: w, cols: map[string]int{}, used: map[int32]bool{}, want: len(errorKinds)}
	if rows >= 10*rowsPerError {
		p.want = rows / rowsPerError
	}
	if o.Clean {
		p.want = 0
	}
	for i, c := range cols {
		p.cols[c.header] = i
		p.header = append(p.header, c.header)
	}
	return p
}

func (s *errorPlan) spoil(row int, c *cells, record []string) {
	k := &s.w.makers[c.p.maker]
	if len(s.done) == s.want || row < (4*len(s.done)+1)*s.rows/(4*s.want) {
		return
	}
	if c.p.priceFactor != 1 || k.thinning > 0 || k.pleatsLost > 0 || c.rough || s.used[c.o.product] {
		return // rows with something else planted stay free of entry errors
	}
	kind := errorKinds[len(s.done)%len(errorKinds)]
	changed := map[int]string{}
	switch kind {
	case "unit":
		s.unit(c, record, changed)
	case "decimal":
		s.decimal(record, changed)
	case "swap":
		s.swap(record, changed)
	case "transposition":
		s.transpose(record, changed)
	}
	if len(changed) == 0 {
		return
	}
	made := EntryError{Kind: kind, Line: row + 2, Maker: k.name, Part: c.p.part}
	for i := range record {
		if text, ok := changed[i]; ok {
			made.Cells = append(made.Cells, EntryErrorCell{Column: s.header[i], Number: i + 1, Found: text, Intended: record[i]})
			record[i] = text
		}
	}
	s.done = append(s.done, made)
	s.used[c.o.product] = s.rows < 10*rowsPerError
}

// number returns the index of a column and the number in it; false if the column
// is missing or its cell is not a single number.
func (s *errorPlan) number(record []string, header string) (int, float64, bool) {
	i, ok := s.cols[header]
	if !ok {
		return 0, 0, false
	}
	v, err := strconv.ParseFloat(record[i], 64)
	return i, v, err == nil
}

// unit enters an element width in millimetres into the column in inches.
func (s *errorPlan) unit(c *cells, record []string, changed map[int]string) {
	i, _, ok := s.number(record, "element_width_in")
	_, _, tall := s.number(record, "can_height_mm")
	if ok && tall {
		changed[i] = fixed(c.f.width, 1)
	}
}

// decimal enters a can gauge with the decimal point one place too far to the right.
func (s *errorPlan) decimal(record []string, changed map[int]string) {
	i, v, ok := s.number(record, "can_gauge_mm")
	_, _, weighed := s.number(record, "can_mass_g")
	if ok && weighed {
		changed[i] = fixed(10*v, 1)
	}
}

// swap exchanges the masses of element and media, or those of can and media in a
// log without the element mass.
func (s *errorPlan) swap(record []string, changed map[int]string) {
	a, _, okA := s.number(record, "element_mass_g")
	if _, wide := s.cols["element_mass_g"]; !wide {
		a, _, okA = s.number(record, "can_mass_g")
	}
	b, _, okB := s.number(record, "media_mass_g")
	if okA && okB {
		changed[a], changed[b] = record[b], record[a]
	}
}

// transpose exchanges two adjacent digits of the total mass if the result is less
// than 0.9 of the sum of the parts weighed or, in a log without the element mass,
// differs from the true total by a factor of more than 1.5.
func (s *errorPlan) transpose(record []string, changed map[int]string) {
	i, total, ok := s.number(record, "total_mass_g")
	if !ok {
		return
	}
	_, wide := s.cols["element_mass_g"]
	var parts float64
	for _, header := range []string{"can_mass_g", "element_mass_g", "base_plate_mass_g"} {
		if _, v, ok := s.number(record, header); ok {
			parts += v
		}
	}
	t := record[i]
	for _, turned := range []string{t[1:2] + t[0:1] + t[2:], t[0:1] + t[2:3] + t[1:2] + t[3:]} {
		v, err := strconv.ParseFloat(turned, 64)
		outweighed := v > 100 && v < 0.9*parts
		far := !wide && v > 0 && (v < total/1.5 || v > 1.5*total)
		if err == nil && (outweighed || far) {
			changed[i] = turned
			return
		}
	}
}
