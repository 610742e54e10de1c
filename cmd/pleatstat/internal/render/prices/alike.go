package prices

import (
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
	"pleatstat/stats/price"
)

// aboutAlike stands once beside any list of parts that are alike.
const aboutAlike = "Alike is not interchangeable: thread, gasket, bypass and drain-back valve must be those of the equipment's specification."

// Alike lists the nearest by contents, each with what must fit the engine,
// those with the part's own thread first.
func Alike(t *wording.Text, j price.Judgement, u dataset.Units) {
	if len(j.Comparables) == 0 {
		return
	}
	t.Heading("The nearest by contents")
	if own := mountWords(j.Mount); own != "" {
		t.Para("Its own: " + own + ".")
	}
	same := false
	for _, c := range j.Comparables {
		said := wording.Name(c.Maker, c.Part) + ": " + wording.Quantity(u, "price", c.Price) + ", media area " + wording.Quantity(u, "media_area", c.MediaArea)
		if mount := mountWords(c.Mount); mount != "" {
			said += "; " + mount
		}
		t.Item(said + ".")
		same = same || c.SameThread
	}
	if !same && j.Mount.Thread != "" {
		t.Para("None of these has its thread.")
	}
	t.Para(aboutAlike)
}

// mountWords are thread and valves as recorded, "" for nothing.
func mountWords(m price.Mount) string {
	var say []string
	for _, s := range []struct{ column, word string }{{"thread", m.Thread}, {"bypass", m.Bypass}, {"drain_back", m.DrainBack}} {
		if s.word != "" {
			say = append(say, dataset.Words(s.column)+" "+wording.Short(s.word))
		}
	}
	return strings.Join(say, ", ")
}
