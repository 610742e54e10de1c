package catalogue

// recordColumns describe what was opened and when, its price, and what is
// printed on it.
var recordColumns = []Column{
	{Name: "opened", Kind: KindDate, OfOpening: true, Spoken: "date opened", Synonyms: []string{"date", "date opened", "opened on", "opening date", "cut open", "teardown date", "day"},
		Meaning: "day the part was cut open", HowTo: "write 2024-03-08; a month (2024-03) or a year alone will do", NeededBy: []string{needsDrift, needsPrice}},
	{Name: "maker", Kind: KindText, OfOpening: true, Synonyms: []string{"brand", "make", "manufacturer", "label", "sold as"},
		Meaning: "whose name is on the part", HowTo: "always spell it the same way", NeededBy: []string{needsAll}},
	{Name: "part", Kind: KindText, OfOpening: true, Synonyms: []string{"part number", "part no", "partno", "part #", "pn", "p/n", "model", "type number", "article", "sku"},
		Meaning: "part number as printed", HowTo: "copy it from the can, dashes included", NeededBy: []string{needsAll}},
	{Name: "price", About: AboutPrice, Kind: KindMoney, MayBeZero: true, Axis: "price of one filter", Synonyms: []string{"cost", "paid", "price paid", "unit price", "price each", "retail price"},
		Meaning: "price of one filter, or of the pack where pack_quantity says how many", HowTo: "what was paid, without postage; 0 for a gift", NeededBy: []string{needsPrice, needsDrift},
		Usual: Usual{0, 0, 0.40}},
	{Name: "price_currency", Kind: KindText, OfOpening: true, Synonyms: []string{"currency", "currency code"},
		Meaning: "currency of the price, where the log mixes them", HowTo: "a code or a sign: EUR, USD, £", NeededBy: []string{needsPrice}},
	{Name: RateColumn, Kind: KindNumber, OfOpening: true, Synonyms: []string{"exchange rate", "rate of exchange"},
		Meaning: "what one of the price's currency is in the currency of most of the log", HowTo: "the rate of the day of purchase: 0.86 where one EUR was 0.86 GBP; only for prices in another currency", NeededBy: []string{needsPrice},
		Possible: Range{1e-6, 1e6}},
	{Name: "pack_quantity", Kind: KindCount, OfOpening: true, Whole: true, One: "filter", Many: "filters", Synonyms: []string{"pack", "pack size", "pack qty", "quantity", "qty", "per pack", "units per pack"},
		Meaning: "how many filters the price was for", HowTo: "leave blank for one", Typical: Range{1, 24}, NeededBy: []string{needsPrice}, Possible: Range{1, 1000}},
	{Name: "purchased", Kind: KindDate, OfOpening: true, Spoken: "date of purchase", Synonyms: []string{"purchase date", "bought", "bought on", "date bought", "date of purchase"},
		Meaning: "day the part was bought", HowTo: "as opened; the price is the price of that day", NeededBy: []string{needsPrice}},
	{Name: "shop", Kind: KindText, OfOpening: true, Synonyms: []string{"seller", "dealer", "bought from", "store", "vendor"},
		Meaning: "where it was bought", HowTo: "always spell it the same way", NeededBy: []string{needsPrice}},
	{Name: "condition", Kind: KindCategory, OfOpening: true, Synonyms: []string{"new or used", "state"},
		Categories: []string{"new", "used"}, OtherWords: map[string]string{
			"new":  "unused",
			"used": "worn, second hand",
		},
		Meaning: "whether the filter had run on an engine", HowTo: "a used one holds oil and dirt: its masses are not those of a new one", NeededBy: []string{needsCheck}},
	{Name: "origin", Kind: KindText, Synonyms: []string{"made in", "country", "country of origin"},
		Meaning: "country printed on the part", HowTo: "as printed", NeededBy: []string{needsCompare}},
	{Name: "made_by", Kind: KindText, Synonyms: []string{"actual maker", "made by", "produced by", "supplier"},
		Meaning: "who made it, where that is another than whose name is on it and the part says so", HowTo: "only what is printed or stamped; blank where nothing is", NeededBy: []string{needsCompare}},
	{Name: "same_as", Kind: KindText, Synonyms: []string{"same part as", "relabelled", "twin", "twin of", "identical to"},
		Meaning: "another part of the log that is the same filter under another label", HowTo: "its maker and part, as the log spells them", NeededBy: []string{needsPrice, needsCompare}},
	{Name: "date_code", Kind: KindText, OfOpening: true, Synonyms: []string{"lot", "lot code", "batch", "stamp", "production code"},
		Meaning: "date or lot code stamped on the can", HowTo: "as printed; week and year, month and year or day of the year are read as a date where the column shows which", NeededBy: []string{needsDrift}},
	{Name: "application", Kind: KindText, Synonyms: []string{"fits", "engine", "used on", "vehicle"},
		Meaning: "what it was bought for", HowTo: "engine or boat, as on the box", NeededBy: []string{needsCompare}},
}

// RateColumn is the column of the exchange rate of a price in another currency.
const RateColumn = "rate"
