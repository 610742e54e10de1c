package findings

import (
	"testing"

	"pleatstat/stats/trend"
)

// Every trend of the report has a question and the command that answers it.
func TestEveryTrendHasAQuestion(t *testing.T) {
	for _, d := range trend.Standard() {
		if question, command := asked(d.ID); question == "" || command != "report" {
			t.Errorf("%s is asked for as %q, by %q", d.ID, question, command)
		}
	}
	if question, _ := asked("can_gauge-total_mass"); question != "how can gauge goes with total mass" {
		t.Errorf("a trend without words of its own: %q", question)
	}
	if question, _ := asked("nothing-known"); question != "" {
		t.Errorf("what is no trend is asked for as %q", question)
	}
}
