package trend

// Standard returns the trends every report fits, in the order it tells them.
//
// Prices, masses and lengths that grow in proportion are fitted in logs, so
// that the spread is a percentage and the slope says what doubling the
// predictor does. Gauge and pleat count are fitted as they are: over the range
// of one bench a straight line is the simplest statement about them.
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

// Define names a trend of one's own choosing. Where it is one of the standard
// pairs and scale is empty, the standard scale is taken; otherwise an empty
// scale means linear.
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
