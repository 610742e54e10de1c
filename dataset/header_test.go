package dataset

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"pleatstat/dataset/catalogue"
)

// A misspelt header is reported with the column that may be meant.
func TestSlipInAHeader(t *testing.T) {
	l := mustRead(t, "maker,part,price,pleets\nSkerrow,SK-10,8,51\n", Options{})
	if ps := l.Problems(); len(ps) == 0 || !strings.Contains(ps[len(ps)-1].Message, "Did you mean pleats?") {
		t.Errorf("a slip in a header: %+v", ps)
	}
}

func TestWriteBlank(t *testing.T) {
	var b bytes.Buffer
	if err := WriteBlank(&b); err != nil {
		t.Fatal(err)
	}
	row := make([]string, len(slices.Collect(catalogue.Recorded())))
	row[1], row[2], row[3] = "Skerrow", "SK-10", "8.99"
	l := mustRead(t, b.String()+strings.Join(row, ",")+"\n", Options{})
	if ps := l.Problems(); len(ps) != 0 {
		t.Errorf("a blank log filled in has problems: %+v", ps)
	}
	for c := range catalogue.Recorded() {
		if text, at := l.Header(c.Name); at == 0 {
			t.Errorf("the blank log has no %s", c.Name)
		} else if d, ok := c.Kind.Dimension(); ok && !l.byName[c.Name].Given {
			t.Errorf("%q names no unit of %s", text, d)
		}
	}
}
