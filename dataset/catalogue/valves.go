package catalogue

// valveColumns describe the valves and the magnet.
var valveColumns = []Column{
	{Name: "bypass", Kind: KindCategory, Synonyms: []string{"bypass valve", "bypass location", "relief valve"},
		Categories: []string{"dome", "base", "none"},
		OtherWords: map[string]string{
			"dome": "dome end, top, closed end, dome side, at dome, in dome",
			"base": "base plate, thread end, threaded end, bottom, base end, plate, at base, in base",
		},
		Meaning: "where the bypass valve sits", HowTo: "by eye", NeededBy: []string{needsCompare}},
	{Name: "bypass_spring", Kind: KindCategory, Synonyms: []string{"bypass spring type", "spring", "spring type"},
		Categories: []string{"leaf", "coil", "none"}, OtherWords: map[string]string{
			"leaf": "leaf spring, flat, flat spring, sheet",
			"coil": "coil spring, coiled, wound, helical",
		},
		Meaning: "kind of bypass spring", HowTo: "by eye; the spring that only presses the element home is weighed as spring_mass", NeededBy: []string{needsCompare}},
	{Name: "bypass_opening_claimed", Kind: KindPressure, Unit: "bar", OfOpening: false, Spoken: "claimed bypass opening pressure", Synonyms: []string{"claimed bypass pressure", "claimed bypass opening", "bypass setting"},
		Meaning: "pressure difference at which the bypass valve opens, as claimed", HowTo: "as printed or in the data sheet, in bar, kPa or psi", NeededBy: []string{needsCompare},
		Common: Range{0.4, 3}, Possible: Range{0.1, 10}},
	{Name: "bypass_opening_measured", Kind: KindPressure, Unit: "bar", Spoken: "measured bypass opening pressure", Synonyms: []string{"bypass pressure", "measured bypass opening", "bypass opening", "bypass opening pressure"},
		Meaning: "pressure difference at which the bypass valve opens, as measured", HowTo: "air or a spring balance on the valve disc: force over the area of the seat; three readings", NeededBy: []string{needsCompare, needsCheck},
		Step: pressureStep, Tool: gauge, Common: Range{0.4, 3}, Possible: Range{0.05, 10}},
	{Name: "drain_back", Kind: KindCategory, Spoken: "drain-back valve", Synonyms: []string{"adbv", "anti drain back valve", "anti drainback valve", "anti drain back", "drain back valve", "drainback valve", "adbv material"},
		Categories: []string{"silicone", "nitrile", "none"},
		OtherWords: map[string]string{
			"silicone": "silicon, silicone rubber, silicon rubber, sil, si",
			"nitrile":  "rubber, nbr, buna, buna n, nitrile rubber",
		},
		Meaning: "material of the drain-back valve", HowTo: "silicone is soft and often orange, nitrile is black", NeededBy: []string{needsPrice}},
	{Name: "drain_back_fit", Kind: KindCategory, Spoken: "fit of the drain-back valve", Synonyms: []string{"drain back valve fit", "adbv fit", "drain back valve seat"},
		Categories: []string{"close", "loose", "torn"}, OtherWords: map[string]string{
			"close": "tight, good, seals",
			"loose": "gaps, gap, folded",
			"torn":  "damaged, cracked",
		},
		Meaning: "how the drain-back valve lies on its seat", HowTo: "by eye before the element is lifted out: does the lip touch all the way round", NeededBy: []string{needsCompare}},
	{Name: "magnet", Kind: KindCategory, Synonyms: []string{"has magnet", "magnetic"},
		Categories: []string{"yes", "no"},
		OtherWords: map[string]string{
			"yes": "y, true, 1, x, ✓, ✔, ☑, with, fitted, present",
			"no":  "n, false, 0, ✗, ✘, without, none, absent",
		},
		Meaning: "whether there is a magnet", HowTo: "yes or no", NeededBy: []string{needsPrice}},
}
