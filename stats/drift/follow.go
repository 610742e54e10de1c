package drift

const (
	pricePerArea = "price_per_area"
	mediaArea    = "media_area"
)

// follow marks the prices per area that moved because the media area did while
// the price did not: one change, which is then reported once.
func follow(all []*candidate) {
	type place struct{ maker, part, measure string }
	verdicts := map[place]Verdict{}
	for _, k := range all {
		if k.Moved() {
			verdicts[place{k.Maker, k.Part, k.Measure}] = k.Verdict
		}
	}
	for _, k := range all {
		if k.Measure != pricePerArea || !k.Moved() {
			continue
		}
		area := verdicts[place{k.Maker, k.Part, mediaArea}]
		if paid := verdicts[place{k.Maker, k.Part, "price"}]; area != "" && area != k.Verdict && paid == "" {
			k.Follows = mediaArea
		}
	}
}
