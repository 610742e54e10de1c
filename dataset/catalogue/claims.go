package catalogue

// claimColumns describe what the box or the data sheet claims, and the
// remaining columns.
var claimColumns = []Column{
	{Name: "claimed_efficiency", Kind: KindPercent, Unit: "%", Synonyms: []string{"efficiency", "efficiency claim", "rated efficiency", "claimed eff"},
		Meaning: "efficiency claimed on the box", HowTo: "as printed: 99, 99 % @ 20 µm, >99, β20=75", Typical: Range{50, 100}, NeededBy: []string{needsCompare},
		Possible: Range{0, 100}, Usual: Usual{97, 0.08, 0.06}},
	{Name: "claimed_particle_size", Kind: KindParticle, Unit: "µm", Synonyms: []string{"particle size", "claimed size", "rated size", "micron rating", "efficiency at"},
		Meaning: "particle size the claim holds for; a claim without it says nothing", HowTo: "as printed, in µm; not where it stands in claimed_efficiency", Typical: Range{3, 60}, NeededBy: []string{needsCompare},
		Possible: Range{0.1, 200}, Usual: Usual{20, 0.50, 0.40}},
	{Name: "claim_test", Kind: KindCategory, Spoken: "test behind the claim", Synonyms: []string{"test", "test method", "efficiency test", "claimed test", "test standard"},
		Categories: []string{"multi-pass", "single-pass", "other"},
		OtherWords: map[string]string{
			"multi-pass":  "multipass, multi pass test, iso 4548 12, iso 4548, iso4548 12, iso 16889, iso16889",
			"single-pass": "singlepass, single pass test",
		},
		Meaning: "test the claimed efficiency comes from", HowTo: "as printed: multi-pass (ISO 4548-12), single-pass or another", NeededBy: []string{needsCompare}},
	{Name: "rated_flow", About: AboutRest, Kind: KindFlow, Unit: "L/min", Synonyms: []string{"flow", "flow rate", "rated flow rate", "claimed flow"},
		Meaning: "flow the filter is rated for", HowTo: "as printed or in the data sheet", NeededBy: []string{needsCompare},
		Common: Range{5, 150}, Possible: Range{1, 2000}},
	{Name: "claimed_service_interval", About: AboutRest, Kind: KindText, Synonyms: []string{"service interval", "change interval", "claimed interval", "interval"},
		Meaning: "how long it may stay on the engine, as claimed", HowTo: "as printed, with its unit: 250 h, 10,000 km", NeededBy: []string{needsCompare}},
	{Name: "media_area", Kind: KindArea, Unit: "cm²", Axis: "media area, one face", Synonyms: []string{"area", "paper area", "filter area", "area of media", "filtration area"},
		Meaning: "area of the media, one face", HowTo: "only where length and width were not logged", NeededBy: []string{needsPrice},
		Tool: "area", Common: Range{150, 20_000}, Possible: Range{20, 60_000}, Usual: Usual{550, 0.60, 0.30}},
	{Name: "notes", About: AboutRest, Kind: KindText, OfOpening: true, Synonyms: []string{"note", "remarks", "remark", "comments", "comment"},
		Meaning: "anything else", HowTo: "free text", NeededBy: nil},
}

// ClaimColumn is the column of the claimed efficiency. MultiPassTest is the
// category of claim_test for the test that defines the beta ratio.
const (
	ClaimColumn   = "claimed_efficiency"
	MultiPassTest = "multi-pass"
)
