package robust

import (
	"math"
	"testing"

	"pleatstat/stats/internal/testhelp"
	"pleatstat/stats/linear"
)

// Values of robustbase's lmrob, iterated to the fixed point in 40-digit
// arithmetic; data: Rousseeuw and Leroy (1987), Brownlee (1965), Montgomery and
// Peck (1982).
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
			r := testhelp.Published(t, c.id)
			d := linear.Design{Names: c.predictors, Columns: r.Columns(t, c.predictors...)}
			f, err := RobustLine(d, r.Column(t, c.response), RobustOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if !f.Converged {
				t.Error("did not converge")
			}
			testhelp.NearAll(t, "coefficients", f.Coef, r.Numbers(t, "computed", "MM_coef"), 1e-10)
			testhelp.NearAll(t, "coefficients of the start", f.SCoef, r.Numbers(t, "computed", "S_coef"), 1e-8)
			testhelp.Near(t, "scale", f.Scale, r.Number(t, "computed", "S_scale"), 1e-13)
			testhelp.NearAll(t, "standard errors", f.SE, r.Numbers(t, "computed", "MM_se_avar1"), 1e-9)
			// The reference weights have 12 decimals.
			for i, w := range r.Numbers(t, "computed", "robustness_weights") {
				if math.Abs(f.Weights[i]-w) > 1e-11 {
					t.Errorf("weight %d: %.12f, want %.12f", i, f.Weights[i], w)
				}
			}
		})
	}
}
