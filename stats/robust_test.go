package stats

import (
	"math"
	"testing"
)

// Values of robustbase's lmrob, solved to a fixed point in 40-digit arithmetic;
// data: Rousseeuw and Leroy (1987), Brownlee (1965), Montgomery and Peck (1982).
func TestRobustLinePublished(t *testing.T) {
	for _, c := range []struct {
		id         string
		predictors []string
		response   string
	}{
		{"lmrob_stars", []string{"log_te"}, "log_light"},
		{"lmrob_phones", []string{"year"}, "calls"},
		{"lmrob_stackloss", []string{"air_flow", "water_temp", "acid_conc"}, "stack_loss"},
		{"lmrob_delivery", []string{"n_prod", "distance"}, "del_time"},
	} {
		t.Run(c.id, func(t *testing.T) {
			r := published(t, c.id)
			d := Design{Names: c.predictors, Columns: r.columns(t, c.predictors...)}
			f, err := RobustLine(d, r.column(t, c.response), RobustOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if !f.Converged {
				t.Error("did not converge")
			}
			nearAll(t, "coefficients", f.Coef, r.numbers(t, "computed", "MM_coef"), 1e-10)
			nearAll(t, "coefficients of the start", f.SCoef, r.numbers(t, "computed", "S_coef"), 1e-8)
			near(t, "scale", f.Scale, r.number(t, "computed", "S_scale"), 1e-13)
			nearAll(t, "standard errors", f.SE, r.numbers(t, "computed", "MM_se_avar1"), 1e-9)
			// The weights stand there to 12 decimals.
			for i, w := range r.numbers(t, "computed", "robustness_weights") {
				if math.Abs(f.Weights[i]-w) > 1e-11 {
					t.Errorf("weight %d: %.12f, want %.12f", i, f.Weights[i], w)
				}
			}
		})
	}
}
