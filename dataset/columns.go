package dataset

import "slices"

// Columns returns the columns a log may have, in canonical order. The slice is
// the caller's own.
func Columns() []Column {
	out := slices.Clone(recorded)
	for i := range out {
		out[i].Synonyms = slices.Clone(out[i].Synonyms)
		out[i].Categories = slices.Clone(out[i].Categories)
		out[i].NeededBy = slices.Clone(out[i].NeededBy)
	}
	return out
}

// LookUp finds a recorded or derived column by its canonical name.
func LookUp(name string) (Column, bool) {
	for _, list := range [][]Column{recorded, derived} {
		for _, c := range list {
			if c.Name == name {
				return c, true
			}
		}
	}
	return Column{}, false
}

// Names of findings, as NeededBy tells them.
const (
	needsPrice    = "price for what is inside"
	needsGauge    = "can gauge on can mass"
	needsPleats   = "pleats on element width"
	needsDrift    = "change over the years"
	needsCompare  = "comparison of parts"
	needsGrammage = "media mass on media area"
	needsLength   = "media length on pleats"
	needsCheck    = "slips of the pen"
	needsAll      = "every finding"
)

var recorded = []Column{
	{Name: "opened", Kind: KindDate, Synonyms: []string{"date", "date opened", "opened on", "opening date", "cut open", "teardown date", "day"},
		Meaning: "day the part was cut open", HowTo: "write 2024-03-08; a month (2024-03) or a year alone will do", NeededBy: []string{needsDrift, needsPrice}},
	{Name: "maker", Kind: KindText, Synonyms: []string{"brand", "make", "manufacturer", "label", "sold as"},
		Meaning: "whose name is on the part", HowTo: "always spell it the same way", NeededBy: []string{needsAll}},
	{Name: "part", Kind: KindText, Synonyms: []string{"part number", "part no", "partno", "part #", "pn", "p/n", "model", "type number", "article", "sku"},
		Meaning: "part number as printed", HowTo: "copy it from the can, dashes included", NeededBy: []string{needsAll}},
	{Name: "price", Kind: KindMoney, Synonyms: []string{"cost", "paid", "price paid", "unit price", "price each", "retail price"},
		Meaning: "price of one filter, or of the pack where pack_quantity says how many", HowTo: "what was paid, without postage", NeededBy: []string{needsPrice, needsDrift}},
	{Name: "price_currency", Kind: KindText, Synonyms: []string{"currency", "currency code"},
		Meaning: "currency of the price, where the log mixes them", HowTo: "a code or a sign: EUR, USD, £", NeededBy: []string{needsPrice}},
	{Name: rateColumn, Kind: KindNumber, Synonyms: []string{"exchange rate", "rate of exchange"},
		Meaning: "what one of the price's currency is in the currency of most of the log", HowTo: "the rate of the day of purchase: 0.86 where one EUR was 0.86 GBP; only for prices in another currency", NeededBy: []string{needsPrice}},
	{Name: "pack_quantity", Kind: KindCount, Synonyms: []string{"pack", "pack size", "pack qty", "quantity", "qty", "per pack", "units per pack"},
		Meaning: "how many filters the price was for", HowTo: "leave blank for one", NeededBy: []string{needsPrice}},
	{Name: "origin", Kind: KindText, Synonyms: []string{"made in", "country", "country of origin"},
		Meaning: "country printed on the part", HowTo: "as printed", NeededBy: []string{needsCompare}},
	{Name: "date_code", Kind: KindText, Synonyms: []string{"lot", "lot code", "batch", "stamp", "production code"},
		Meaning: "date or lot code stamped on the can", HowTo: "as printed", NeededBy: []string{needsDrift}},
	{Name: "thread", Kind: KindText, Synonyms: []string{"thread size", "mounting thread"},
		Meaning: "mounting thread", HowTo: "as printed, for example 3/4-16 or M20x1.5", NeededBy: []string{needsCompare}},
	{Name: "can_od", Kind: KindLength, Unit: "mm", Synonyms: []string{"can outside diameter", "can outer diameter", "can diameter", "od", "outside diameter", "outer diameter", "diameter"},
		Meaning: "outside diameter of the can", HowTo: "caliper, half way up, two ways across", NeededBy: []string{needsCheck, needsGauge}},
	{Name: "can_height", Kind: KindLength, Unit: "mm", Synonyms: []string{"height", "can length", "overall height", "height of can"},
		Meaning: "height of the can from base plate to dome", HowTo: "caliper, gasket not counted", NeededBy: []string{needsCheck, needsGauge}},
	{Name: "gasket_od", Kind: KindLength, Unit: "mm", Synonyms: []string{"gasket outside diameter", "gasket outer diameter", "gasket diameter", "seal od", "seal diameter"},
		Meaning: "outside diameter of the gasket", HowTo: "caliper, gasket not pressed", NeededBy: []string{needsCompare}},
	{Name: "total_mass", Kind: KindMass, Unit: "g", Synonyms: []string{"total", "mass", "whole mass", "complete mass", "filter mass", "overall mass", "mass whole", "mass total"},
		Meaning: "mass of the whole filter, dry and unused", HowTo: "scale to 0.1 g, before cutting", NeededBy: []string{needsGauge, needsCheck, needsCompare}},
	{Name: "base_plate_mass", Kind: KindMass, Unit: "g", Synonyms: []string{"tapping plate mass", "baseplate mass", "plate mass", "mass of base plate"},
		Meaning: "mass of the threaded base plate", HowTo: "scale to 0.1 g, gasket taken off", NeededBy: []string{needsCheck, needsCompare}},
	{Name: "element_mass", Kind: KindMass, Unit: "g", Synonyms: []string{"cartridge mass", "mass of element", "filter element mass"},
		Meaning: "mass of the element with its end caps", HowTo: "scale to 0.1 g", NeededBy: []string{needsCheck, needsCompare}},
	{Name: "can_mass", Kind: KindMass, Unit: "g", Synonyms: []string{"shell mass", "canister mass", "housing mass", "mass of can", "empty can mass"},
		Meaning: "mass of the empty can without base plate", HowTo: "scale to 0.1 g, all swarf swept in", NeededBy: []string{needsGauge, needsCheck, needsPrice}},
	{Name: "media_mass", Kind: KindMass, Unit: "g", Synonyms: []string{"paper mass", "filter media mass", "mass of media", "pleat pack mass"},
		Meaning: "mass of the media alone, cut from its end caps", HowTo: "scale to 0.1 g, dry", NeededBy: []string{needsGrammage, needsCheck}},
	{Name: "spring_mass", Kind: KindMass, Unit: "g", Synonyms: []string{"mass of spring", "leaf spring mass"},
		Meaning: "mass of the spring that holds the element", HowTo: "scale to 0.1 g", NeededBy: []string{needsCheck}},
	{Name: "can_gauge", Kind: KindLength, Unit: "mm", Synonyms: []string{"wall thickness", "can wall thickness", "can thickness", "gauge", "shell gauge", "shell thickness", "can wall", "gage", "can gage", "metal thickness"},
		Meaning: "wall thickness of the can", HowTo: "micrometer to 0.01 mm on the bare wall, three readings: 0.47; 0.48; 0.48", NeededBy: []string{needsGauge, needsDrift}},
	{Name: "base_plate_gauge", Kind: KindLength, Unit: "mm", Synonyms: []string{"base plate thickness", "tapping plate gauge", "tapping plate thickness", "baseplate gauge", "baseplate thickness", "plate gauge", "plate thickness"},
		Meaning: "thickness of the base plate", HowTo: "micrometer between two inlet holes", NeededBy: []string{needsCompare, needsDrift}},
	{Name: "inlet_holes", Kind: KindCount, Synonyms: []string{"inlet hole count", "holes", "number of inlet holes", "inlets", "number of holes"},
		Meaning: "number of inlet holes in the base plate", HowTo: "count", NeededBy: []string{needsCompare}},
	{Name: "inlet_hole_diameter", Kind: KindLength, Unit: "mm", Synonyms: []string{"hole diameter", "inlet diameter", "inlet hole size", "hole size"},
		Meaning: "diameter of one inlet hole", HowTo: "caliper, inside jaws", NeededBy: []string{needsCompare}},
	{Name: "pleats", Kind: KindCount, Synonyms: []string{"pleat count", "number of pleats", "no of pleats", "pleat number", "folds"},
		Meaning: "number of pleats", HowTo: "count the outer tips, mark the first", NeededBy: []string{needsPleats, needsDrift, needsLength}},
	{Name: "element_width", Kind: KindLength, Unit: "mm", Synonyms: []string{"height of element", "element height", "media width", "paper width", "pleat width", "width of media", "media height", "width"},
		Meaning: "width of the media strip, the height of the element between its end caps", HowTo: "caliper on the strip stretched flat", NeededBy: []string{needsPleats, needsPrice}},
	{Name: "element_od", Kind: KindLength, Unit: "mm", Synonyms: []string{"element outside diameter", "element outer diameter", "element diameter", "cartridge diameter"},
		Meaning: "outside diameter of the pleat pack", HowTo: "caliper across the pleat tips before cutting", NeededBy: []string{needsCompare}},
	{Name: "media_length", Kind: KindLength, Unit: "mm", Synonyms: []string{"paper length", "length of media", "pleat pack length", "stretched length", "length", "unfolded length"},
		Meaning: "length of the pleat pack stretched flat", HowTo: "tape, pleats pulled out but not torn", NeededBy: []string{needsPrice, needsLength, needsDrift}},
	{Name: "media_thickness", Kind: KindLength, Unit: "mm", Synonyms: []string{"paper thickness", "thickness of media", "media caliper"},
		Meaning: "thickness of the media", HowTo: "micrometer, no pressure", NeededBy: []string{needsCompare, needsCheck}},
	{Name: "media_type", Kind: KindCategory, Synonyms: []string{"media", "media material", "paper type", "filter media", "medium"},
		Categories: []string{"cellulose", "blend", "synthetic", "wire-backed synthetic", "other"},
		Meaning:    "what the media is made of", HowTo: "look at a torn edge: fluff is cellulose, threads are synthetic", NeededBy: []string{needsPrice}},
	{Name: "end_caps", Kind: KindCategory, Synonyms: []string{"end cap", "endcaps", "end cap material", "end discs"},
		Categories: []string{"steel", "fibre", "nylon", "none"},
		Meaning:    "material of the end caps", HowTo: "magnet and eye", NeededBy: []string{needsCompare}},
	{Name: "core", Kind: KindCategory, Synonyms: []string{"centre tube", "center tube", "core type", "core tube"},
		Categories: []string{"perforated", "louvred", "nylon", "coil", "none"},
		Meaning:    "kind of centre tube", HowTo: "by eye", NeededBy: []string{needsCompare}},
	{Name: "seam", Kind: KindCategory, Synonyms: []string{"pleat seam", "media seam", "seam type"},
		Categories: []string{"crimped", "glued", "other"},
		Meaning:    "how the ends of the pleat pack are joined", HowTo: "by eye", NeededBy: []string{needsCompare}},
	{Name: "bypass", Kind: KindCategory, Synonyms: []string{"bypass valve", "bypass location", "relief valve"},
		Categories: []string{"dome", "base", "none"},
		Meaning:    "where the bypass valve sits", HowTo: "by eye", NeededBy: []string{needsCompare}},
	{Name: "bypass_spring", Kind: KindCategory, Synonyms: []string{"bypass spring type", "spring", "spring type"},
		Categories: []string{"leaf", "coil", "none"},
		Meaning:    "kind of bypass spring", HowTo: "by eye", NeededBy: []string{needsCompare}},
	{Name: "drain_back", Kind: KindCategory, Synonyms: []string{"adbv", "anti drain back valve", "anti drainback valve", "anti drain back", "drain back valve", "drainback valve", "adbv material"},
		Categories: []string{"silicone", "nitrile", "none"},
		Meaning:    "material of the drain-back valve", HowTo: "silicone is soft and often orange, nitrile is black", NeededBy: []string{needsPrice}},
	{Name: "magnet", Kind: KindCategory, Synonyms: []string{"has magnet", "magnetic"},
		Categories: []string{"yes", "no"},
		Meaning:    "whether there is a magnet", HowTo: "yes or no", NeededBy: []string{needsPrice}},
	{Name: "claimed_efficiency", Kind: KindPercent, Unit: "%", Synonyms: []string{"efficiency", "efficiency claim", "rated efficiency", "claimed eff"},
		Meaning: "efficiency claimed on the box", HowTo: "as printed, in percent", NeededBy: []string{needsPrice}},
	{Name: "claimed_particle_size", Kind: KindParticle, Unit: "µm", Synonyms: []string{"particle size", "claimed size", "rated size", "micron rating", "efficiency at"},
		Meaning: "particle size the claim holds for", HowTo: "as printed, in µm", NeededBy: []string{needsPrice}},
	{Name: "media_area", Kind: KindArea, Unit: "cm²", Synonyms: []string{"area", "paper area", "filter area", "area of media", "filtration area"},
		Meaning: "area of the media, one face", HowTo: "only where length and width were not logged", NeededBy: []string{needsPrice}},
	{Name: "notes", Kind: KindText, Synonyms: []string{"note", "remarks", "remark", "comments", "comment"},
		Meaning: "anything else", HowTo: "free text", NeededBy: nil},
}
