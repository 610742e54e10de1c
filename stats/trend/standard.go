package trend

// Standard returns the trends that every report fits, in report order.
//
// Prices, masses and lengths that grow in proportion are fitted in logs, so that
// the spread is relative and the slope gives the effect of doubling the
// predictor. Gauge and pleat count are fitted untransformed: over the range of
// one bench a straight line is the simplest description.
func Standard() []Definition {
	return []Definition{
		{ID: "price-media_area", Response: "price", Predictor: "media_area", Scale: Log},
		{ID: "can_gauge-can_mass", Response: "can_gauge", Predictor: "can_mass", Scale: Linear},
		{ID: "can_gauge-total_mass", Response: "can_gauge", Predictor: "total_mass", Scale: Linear, Lacking: "can_mass"},
		{ID: "pleats-element_width", Response: "pleats", Predictor: "element_width", Scale: Linear},
		{ID: "media_mass-media_area", Response: "media_mass", Predictor: "media_area", Scale: Log},
		{ID: "media_length-pleats", Response: "media_length", Predictor: "pleats", Scale: Log},
	}
}

// Define defines a trend of the user's choice. An empty scale means the standard
// scale for a standard pair, and linear for any other.
func Define(response, predictor string, scale Scale) Definition {
	d := Definition{ID: response + "-" + predictor, Response: response, Predictor: predictor, Scale: scale}
	if d.Scale != "" {
		return d
	}
	d.Scale = Linear
	for _, s := range Standard() {
		if s.ID == d.ID {
			d.Scale = s.Scale
		}
	}
	return d
}
