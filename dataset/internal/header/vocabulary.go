package header

import (
	"strings"
	"sync"
)

// A header is read by parts: the thing that was measured, the quantity measured
// on it, and the unit, in any order. The words of this file come from the trade
// and from everyday English: common practice, no source.

// Things that a header may refer to.
const (
	ofFilter   = "filter"
	ofWhole    = "whole"
	ofCan      = "can"
	ofPlate    = "base plate"
	ofElement  = "element"
	ofMedia    = "media"
	ofPleats   = "pleats"
	ofSpring   = "spring"
	ofGasket   = "gasket"
	ofHoles    = "inlet holes"
	ofThread   = "thread"
	ofCore     = "core"
	ofSeam     = "seam"
	ofBypass   = "bypass"
	ofDrain    = "drain back"
	ofMagnet   = "magnet"
	ofEndCaps  = "end caps"
	ofPack     = "pack"
	ofMaker    = "maker"
	ofPart     = "part"
	ofOrigin   = "origin"
	ofDateCode = "date code"
	ofNotes    = "notes"
	ofClaim    = "claim"
	ofParticle = "particle"
)

// Quantities and properties that a header may name.
const (
	itsMass      = "mass"
	itsLength    = "length"
	itsWidth     = "width"
	itsHeight    = "height"
	itsThickness = "thickness"
	itsDiameter  = "diameter"
	itsSize      = "size" // ignored beside another quantity
	itsArea      = "area"
	itsCount     = "count"
	itsNumber    = "number" // a count or a name
	itsKind      = "kind"
	itsPrice     = "price"
	itsDate      = "date"
	itsName      = "name"
	itsShare     = "share" // efficiency
)

// sense is what one word of a header means: a thing, a quantity, both, or
// neither for a filler word.
type sense struct{ thing, measure string }

// wordList holds the words of each sense, separated by spaces.
var wordList = []struct {
	sense sense
	words string
}{
	{sense{thing: ofFilter}, "filter unit"},
	{sense{thing: ofWhole}, "total whole complete overall entire gross net assembled"},
	{sense{thing: ofCan}, "can canister shell housing case casing body bowl metal steel"},
	{sense{ofCan, itsThickness}, "wall sidewall"},
	{sense{thing: ofPlate}, "baseplate base plate"},
	{sense{thing: ofElement}, "element cartridge insert"},
	{sense{thing: ofMedia}, "media medium paper fleece filtermedia unfolded unrolled stretched"},
	{sense{thing: ofPleats}, "pleat pleats fold folds"},
	{sense{thing: ofSpring}, "spring"},
	{sense{ofSpring, itsKind}, "bypassspring"},
	{sense{thing: ofGasket}, "gasket seal oring"},
	{sense{thing: ofHoles}, "hole holes inlet inlets port ports"},
	{sense{thing: ofThread}, "thread threads thd thrd threading"},
	{sense{thing: ofCore}, "core centretube"},
	{sense{thing: ofSeam}, "seam"},
	{sense{thing: ofBypass}, "bypass"},
	{sense{thing: ofDrain}, "drainback adbv adv"},
	{sense{thing: ofMagnet}, "magnet magnetic magnets"},
	{sense{thing: ofEndCaps}, "endcap endcaps enddisc enddiscs"},
	{sense{thing: ofPack}, "pack packs pk package"},
	{sense{thing: ofMaker}, "maker make brand manufacturer mfr mfg mfgr manuf manufacture label company madeby"},
	{sense{thing: ofPart}, "part pn partno model mdl sku article item catalogue catalog"},
	{sense{thing: ofOrigin}, "origin country madein coo"},
	{sense{thing: ofDateCode}, "datecode lot batch"},
	{sense{thing: ofNotes}, "note notes remark remarks comment comments observations obs"},
	{sense{thing: ofClaim}, "claim claimed rated advertised stated"},
	{sense{thing: ofParticle}, "particle particles"},
	{sense{measure: itsMass}, "mass weight wt wgt weighs weights heft"},
	{sense{measure: itsLength}, "length len lgth lng long l"},
	{sense{measure: itsWidth}, "width wid wdth wide w"},
	{sense{measure: itsHeight}, "height ht hgt hght high tall h"},
	{sense{measure: itsThickness}, "thickness thk thick thickn gauge gage ga"},
	{sense{measure: itsDiameter}, "diameter dia diam od across"},
	{sense{measure: itsSize}, "size sz"},
	{sense{measure: itsArea}, "area surface"},
	{sense{measure: itsCount}, "count cnt ct qty quantity counted howmany"},
	{sense{measure: itsNumber}, "number no nr num nos"},
	{sense{measure: itsKind}, "type kind material matl mat style location loc position made fitted present"},
	{sense{measure: itsPrice}, "price cost paid pd costs priced msrp"},
	{sense{measure: itsDate}, "date day year when opened open cut opening teardown dissected dissection disassembled"},
	{sense{measure: itsName}, "name id code"},
	{sense{measure: itsShare}, "efficiency eff"},
	{sense{}, "a an the of is it its i my was were for at on and per each ea avg average mean measured approx approximate dry flat bare empty" +
		" reading readings outer outside external has have there any how what did does do x by y n yes unboxed inc incl printed retail out withoutbox"},
}

// phrases maps words that have a meaning only together to the word of wordList
// or the unit that they stand for.
var phrases = map[string]string{
	"base plate": "baseplate", "tapping plate": "baseplate", "tap plate": "baseplate", "threaded plate": "baseplate", "mounting plate": "baseplate",
	"end cap": "endcap", "end caps": "endcaps", "end disc": "enddisc", "end discs": "enddiscs", "end disk": "enddisc", "end plates": "endcaps",
	"anti drain back valve": "adbv", "anti drain back": "adbv", "anti drainback valve": "adbv", "anti drainback": "adbv", "anti drain valve": "adbv", "anti drain": "adbv",
	"drain back valve": "adbv", "drain back": "adbv", "drainback valve": "adbv", "adb valve": "adbv",
	"bypass valve": "bypass", "by pass valve": "bypass", "by pass": "bypass", "relief valve": "bypass", "bypass spring": "bypassspring", "by pass spring": "bypassspring",
	"centre tube": "centretube", "center tube": "centretube", "inner tube": "centretube",
	"o ring": "oring", "o d": "od", "outside dia": "od", "outer dia": "od", "p n": "pn", "pleat pack": "media", "paper pack": "media",
	"filter media": "filtermedia", "filter paper": "filtermedia", "filter element": "element", "inlet hole": "hole", "inlet holes": "holes", "oil holes": "holes",
	"made in": "madein", "made by": "madeby", "made of": "material", "how many": "howmany", "how much": "price", "how long": "length", "how wide": "width", "how thick": "thickness", "how heavy": "weight",
	"date code": "datecode", "lot code": "datecode", "batch code": "datecode", "mfg date": "datecode", "date made": "datecode", "date of manufacture": "datecode",
	"type number": "part", "type no": "part", "cut open": "cut", "tear down": "teardown", "torn down": "teardown", "taken apart": "teardown",
	"w o box": "withoutbox", "wo box": "withoutbox", "without box": "withoutbox", "no box": "withoutbox", "w o packaging": "withoutbox", "without packaging": "withoutbox",
	"per filter": "each", "per piece": "each", "per unit": "each", "unit price": "price", "unit cost": "price",
	"1 1000 in": "thou", "1 1000 inch": "thou", "1 1000": "thou", "0 001 in": "thou", "0 001 inch": "thou", "0 001": "thou",
	"thousandths of an inch": "thou", "thousandths of inch": "thou", "sheet metal": "metal",
}

// longestPhrase is the number of words in the longest phrase.
const longestPhrase = 4

// named lists the columns that a thing and a quantity mean together. Between
// several, the numbers below the header decide. Without a quantity the unit
// decides, or the column describes the thing itself.
var named = map[sense][]string{
	{ofFilter, itsMass}: {"total_mass"}, {"", itsMass}: {"total_mass"},
	{ofFilter, itsHeight}: {"can_height"}, {ofFilter, itsLength}: {"can_height"}, {ofFilter, itsDiameter}: {"can_od"},
	{ofFilter, itsWidth}: {"can_od", "element_width"}, {ofFilter, itsSize}: {"can_od", "can_height"}, {ofFilter, itsPrice}: {"price"},
	{ofFilter, itsNumber}: {"part"}, {ofFilter, itsName}: {"part"}, {ofFilter, itsDate}: {"opened"}, {ofFilter, itsArea}: {"media_area"},
	{ofFilter, itsShare}: {"claimed_efficiency"}, {ofFilter, itsThickness}: {"can_gauge", "media_thickness"},
	{ofFilter, ""}: {"part", "total_mass"}, {ofWhole, ""}: {"total_mass"}, {ofWhole, itsMass}: {"total_mass"}, {ofWhole, itsPrice}: {"price"},
	{ofWhole, itsHeight}: {"can_height"}, {ofWhole, itsLength}: {"can_height"}, {ofWhole, itsDiameter}: {"can_od"}, {ofWhole, itsWidth}: {"can_od"},

	{"", itsHeight}: {"can_height", "element_width"}, {"", itsLength}: {"media_length", "can_height", "element_width"},
	{"", itsWidth}: {"element_width", "can_od"}, {"", itsDiameter}: {"can_od"}, {"", itsArea}: {"media_area"},
	{"", itsThickness}: {"can_gauge", "media_thickness", "base_plate_gauge"}, {"", itsCount}: {"pleats", "inlet_holes", "pack_quantity"},
	{"", itsPrice}: {"price"}, {"", itsDate}: {"opened"}, {"", itsShare}: {"claimed_efficiency"}, {"", itsName}: {"part", "maker"},
	{"", ""}: {"total_mass", "can_mass", "element_mass", "media_mass", "media_area", "price", "claimed_efficiency", "claimed_particle_size"},

	{ofCan, itsMass}: {"can_mass"}, {ofCan, itsThickness}: {"can_gauge"}, {ofCan, itsDiameter}: {"can_od"}, {ofCan, itsWidth}: {"can_od"},
	{ofCan, itsHeight}: {"can_height"}, {ofCan, itsLength}: {"can_height"}, {ofCan, itsSize}: {"can_od", "can_height"},
	{ofCan, ""}: {"can_mass", "can_gauge", "can_od", "can_height"},

	{ofPlate, itsMass}: {"base_plate_mass"}, {ofPlate, itsThickness}: {"base_plate_gauge"}, {ofPlate, ""}: {"base_plate_mass", "base_plate_gauge"},

	{ofElement, itsMass}: {"element_mass"}, {ofElement, itsHeight}: {"element_width"}, {ofElement, itsLength}: {"element_width"},
	{ofElement, itsWidth}: {"element_width", "element_od"}, {ofElement, itsDiameter}: {"element_od"}, {ofElement, itsSize}: {"element_width", "element_od"},
	{ofElement, ""}: {"element_mass", "element_width", "element_od"},

	{ofMedia, itsMass}: {"media_mass"}, {ofMedia, itsLength}: {"media_length"}, {ofMedia, itsWidth}: {"element_width"}, {ofMedia, itsHeight}: {"element_width"},
	{ofMedia, itsThickness}: {"media_thickness"}, {ofMedia, itsArea}: {"media_area"}, {ofMedia, itsKind}: {"media_type"},
	{ofMedia, itsSize}: {"media_length", "element_width", "media_area"}, {ofMedia, ""}: {"media_type", "media_mass", "media_area", "media_length", "element_width", "media_thickness"},

	{ofPleats, itsCount}: {"pleats"}, {ofPleats, itsNumber}: {"pleats"}, {ofPleats, ""}: {"pleats"},
	{ofPleats, itsWidth}: {"element_width"}, {ofPleats, itsHeight}: {"element_width"}, {ofPleats, itsLength}: {"media_length", "element_width"},

	{ofSpring, itsMass}: {"spring_mass"}, {ofSpring, itsKind}: {"bypass_spring"}, {ofSpring, ""}: {"bypass_spring", "spring_mass"},
	{ofGasket, itsDiameter}: {"gasket_od"}, {ofGasket, itsSize}: {"gasket_od"}, {ofGasket, ""}: {"gasket_od"},
	{ofHoles, itsCount}: {"inlet_holes"}, {ofHoles, itsNumber}: {"inlet_holes"}, {ofHoles, ""}: {"inlet_holes", "inlet_hole_diameter"},
	{ofHoles, itsDiameter}: {"inlet_hole_diameter"}, {ofHoles, itsSize}: {"inlet_hole_diameter"},

	{ofThread, ""}: {"thread"}, {ofThread, itsSize}: {"thread"}, {ofThread, itsKind}: {"thread"},
	{ofCore, ""}: {"core"}, {ofCore, itsKind}: {"core"}, {ofSeam, ""}: {"seam"}, {ofSeam, itsKind}: {"seam"},
	{ofBypass, ""}: {"bypass"}, {ofBypass, itsKind}: {"bypass"}, {ofDrain, ""}: {"drain_back"}, {ofDrain, itsKind}: {"drain_back"},
	{ofMagnet, ""}: {"magnet"}, {ofMagnet, itsKind}: {"magnet"}, {ofEndCaps, ""}: {"end_caps"}, {ofEndCaps, itsKind}: {"end_caps"},

	{ofPack, ""}: {"pack_quantity"}, {ofPack, itsCount}: {"pack_quantity"}, {ofPack, itsSize}: {"pack_quantity"}, {ofPack, itsNumber}: {"pack_quantity"}, {ofPack, itsPrice}: {"price"},
	{ofMaker, ""}: {"maker"}, {ofMaker, itsName}: {"maker"},
	{ofPart, ""}: {"part"}, {ofPart, itsName}: {"part"}, {ofPart, itsNumber}: {"part"}, {ofPart, itsPrice}: {"price"},
	{ofOrigin, ""}: {"origin"}, {ofDateCode, ""}: {"date_code"}, {ofDateCode, itsNumber}: {"date_code"}, {ofDateCode, itsName}: {"date_code"}, {ofNotes, ""}: {"notes"},
	{ofClaim, itsShare}: {"claimed_efficiency"}, {ofClaim, ""}: {"claimed_efficiency", "claimed_particle_size"},
	{ofParticle, itsSize}: {"claimed_particle_size"}, {ofParticle, ""}: {"claimed_particle_size"},
}

// lexicon maps words to their senses; shorts are the abbreviations that belong
// to exactly one sense.
type lexicon struct{ words, shorts map[string]sense }

// vocabulary is built when the first header is read.
var vocabulary = sync.OnceValue(func() lexicon {
	v := lexicon{map[string]sense{}, map[string]sense{}}
	for _, entry := range wordList {
		for _, w := range strings.Fields(entry.words) {
			v.words[w] = entry.sense
		}
	}
	several := map[string]bool{}
	add := func(short string, s sense) {
		if had, ok := v.shorts[short]; ok && had != s {
			several[short] = true
		}
		v.shorts[short] = s
	}
	for w, s := range v.words {
		for n := shortest; n < len(w); n++ {
			add(w[:n], s)
		}
		consonants := strings.Map(func(r rune) rune {
			if strings.ContainsRune("aeiou", r) {
				return -1
			}
			return r
		}, w)
		if len(consonants) >= fewestConsonants && len(consonants) < len(w) {
			add(consonants, s)
		}
	}
	for short := range several {
		delete(v.shorts, short)
	}
	return v
})
