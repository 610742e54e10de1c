package encode

import (
	"encoding/csv"
	"io"
	"strings"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
)

// RowLike writes the header of a log and an empty row below it.
func RowLike(w io.Writer, headers []string, separator rune) error {
	c := csv.NewWriter(w)
	c.Comma = separator
	safe := make([]string, len(headers))
	for i, h := range headers {
		safe[i] = dataset.Defuse(wording.Visible(strings.Join(strings.Fields(h), " ")))
	}
	if err := c.Write(safe); err != nil {
		return err
	}
	c.Flush()
	if err := c.Error(); err != nil {
		return err
	}
	_, err := io.WriteString(w, strings.Repeat(string(separator), max(len(headers)-1, 0))+"\n")
	return err
}
