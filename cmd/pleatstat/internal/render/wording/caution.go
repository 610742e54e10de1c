package wording

// Sentences that end every text, or that stand once beside the changes reported.
const (
	AboutBuild = "A teardown measures how a filter is built: how much media, how thick a can, what it weighs. " +
		"It does not measure how well it filters, how long it lasts or what pressure it holds."
	AboutPrices = "\"Above what its contents usually cost\" compares a price with those of the other parts in this log. " +
		"It does not say why the price is what it is."
	AboutFit    = "For what fits your engine, follow the equipment maker's specification."
	AboutChange = "A log can't tell a redesign from another supplier or plant."
)

// Caution ends a text with sentences under the heading "The caution".
func Caution(t *Text, sentences ...string) {
	t.Heading("The caution")
	for _, s := range sentences {
		t.Para(s)
	}
}

// PriceCaution ends a text about prices.
func PriceCaution(t *Text) { Caution(t, AboutBuild, AboutPrices, AboutFit) }
