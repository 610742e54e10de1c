package header

import (
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/units"
)

// heldOut holds sixty headers as ten people might write them, six each. They
// were written before any rule for matching by parts, and no rule was made for
// them: the rules were developed on the list of parts_test.go. Invented; what
// each means is common practice, no source.
var heldOut = []struct {
	person string
	asked  [6][3]string // header, column, unit
}{
	{"a machinist", [6][3]string{
		{"Can wall, thou", "can_gauge", "thou"}, {"OAL (in)", "can_height", "in"}, {"Shell O.D. (in)", "can_od", "in"},
		{"Pleat cnt", "pleats", ""}, {"Thd size", "thread", ""}, {"Tap. plate thk (thou)", "base_plate_gauge", "thou"}}},
	{"a metric hobbyist", [6][3]string{
		{"Weight g (complete)", "total_mass", "g"}, {"Height of can mm", "can_height", "mm"}, {"Paper area cm2", "media_area", "cm²"},
		{"Metal thickness mm", "can_gauge", "mm"}, {"Opened on", "opened", ""}, {"Bought for £", "price", "£"}}},
	{"one with a channel", [6][3]string{
		{"Filter #", "part", ""}, {"Who makes it", "maker", ""}, {"$ paid", "price", "$"},
		{"Filter weight oz", "total_mass", "oz"}, {"Pleats counted", "pleats", ""}, {"Bypass where", "bypass", ""}}},
	{"one who is short of room", [6][3]string{
		{"Mfg", "maker", ""}, {"P/N", "part", ""}, {"Wt", "total_mass", ""},
		{"Pl", "pleats", ""}, {"Media len", "media_length", ""}, {"Can thk", "can_gauge", ""}}},
	{"one who keeps tables at work", [6][3]string{
		{"part_num", "part", ""}, {"unit_cost_usd", "price", "$"}, {"gross_weight_g", "total_mass", "g"},
		{"media_len_mm", "media_length", "mm"}, {"media_wid_mm", "element_width", "mm"}, {"wall_thk_mm", "can_gauge", "mm"}}},
	{"one who writes in sentences", [6][3]string{
		{"How many pleats", "pleats", ""}, {"How long is the paper (inches)", "media_length", "in"}, {"What day I cut it", "opened", ""},
		{"Price I paid", "price", ""}, {"Weight of empty can (grams)", "can_mass", "g"}, {"Is there a magnet?", "magnet", ""}}},
	{"one who abbreviates everything", [6][3]string{
		{"Dt", "opened", ""}, {"Mkr", "maker", ""}, {"Pt no", "part", ""},
		{"Prc", "price", ""}, {"Plts", "pleats", ""}, {"Elem wt", "element_mass", ""}}},
	{"an engineer", [6][3]string{
		{"Shell thickness t [mm]", "can_gauge", "mm"}, {"Filtration media mass (g)", "media_mass", "g"}, {"Number of inlet ports", "inlet_holes", ""},
		{"Port dia (mm)", "inlet_hole_diameter", "mm"}, {"Gasket O.D. mm", "gasket_od", "mm"}, {"Centre tube type", "core", ""}}},
	{"one who weighs in ounces", [6][3]string{
		{"Element ht (in)", "element_width", "in"}, {"Element wt (oz)", "element_mass", "oz"}, {"Base plate thk (in)", "base_plate_gauge", "in"},
		{"Spring wt g", "spring_mass", "g"}, {"End cap mat'l", "end_caps", ""}, {"Relief valve location", "bypass", ""}}},
	{"one who learnt English late", [6][3]string{
		{"Cartridge weight (grams)", "element_mass", "g"}, {"Filter paper length (cm)", "media_length", "cm"}, {"Fabricated in", "origin", ""},
		{"Thickness of sheet (mm)", "can_gauge", "mm"}, {"Efficiency % claimed", "claimed_efficiency", "%"}, {"Piece price EUR", "price", "€"}}},
}

// leastHeldOut is the least number of the sixty that must be read with their
// unit. Matching whole names reads 23. Matching by parts read 43 when first run
// on this list, before abbreviations were added, and 48 once the rules had been
// developed on the other list. None of the sixty was ever read as another
// column.
const leastHeldOut = 48

// TestHeldOutHeaders: most of the sixty are read with their unit, and none as
// another column.
func TestHeldOutHeaders(t *testing.T) {
	hits := 0
	var missed []string
	for _, p := range heldOut {
		for _, want := range p.asked {
			m, ok := Match(want[0])
			switch {
			case !ok, len(m.Others) > 0:
				missed = append(missed, want[0])
			case m.Column != want[1] || !sameUnit(catalogue.Facts(m.Column), m.Unit, want[2]):
				t.Errorf("%s: %q is read as %s %q, want %s %q", p.person, want[0], m.Column, m.Unit, want[1], want[2])
			default:
				hits++
			}
		}
	}
	t.Logf("%d of 60 read; not: %s", hits, strings.Join(missed, " | "))
	if hits < leastHeldOut {
		t.Errorf("%d of 60 read, want %d; not: %q", hits, leastHeldOut, slices.Sorted(slices.Values(missed)))
	}
}

// sameUnit reports whether two spellings mean one unit of a column.
func sameUnit(c catalogue.Column, a, b string) bool {
	if c.Kind == catalogue.KindMoney {
		return cellparse.Currency(a) == cellparse.Currency(b)
	}
	d, ok := c.Kind.Dimension()
	if !ok {
		return true
	}
	x, _ := units.Find(a, d)
	y, _ := units.Find(b, d)
	return x.Symbol == y.Symbol
}
