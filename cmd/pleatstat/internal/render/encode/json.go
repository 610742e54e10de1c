// Package encode writes for other programs: JSON by the tags of the results, CSV,
// and tables that a CSV and a page share. It knows no result.
package encode

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"unicode"

	"pleatstat/cmd/pleatstat/internal/render/wording"
	"pleatstat/dataset"
)

// digits is the number of significant digits of a number that other programs
// read. Processors differ in later ones: some multiply and add in one step,
// which rounds once instead of twice. With six the same log gives the same file on
// each of them, and no reading has as many.
const digits = 6

// rounded is v as other programs get it.
func rounded(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	if err != nil { // rounded beyond the largest number
		return v
	}
	return r
}

// JSON writes v as indented JSON in which control and formatting
// characters stand escaped.
func JSON(w io.Writer, v any) error {
	e := newEncoder()
	if err := e.value(reflect.ValueOf(v), ""); err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	var b bytes.Buffer
	if err := json.Indent(&b, e.Bytes(), "", "  "); err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	b.WriteByte('\n')
	_, err := w.Write(escapeHidden(b.Bytes()))
	return err
}

// escapeHidden replaces what encoding/json leaves in place inside texts (C1
// controls, DEL, direction overrides). Outside texts JSON has none of them but
// line breaks.
func escapeHidden(b []byte) []byte {
	if !bytes.ContainsFunc(b, hiddenInJSON) {
		return b
	}
	out := make([]byte, 0, len(b)+64)
	for _, r := range string(b) {
		if hiddenInJSON(r) {
			out = append(out, wording.Escape(r)...)
			continue
		}
		out = append(out, string(r)...)
	}
	return out
}

func hiddenInJSON(r rune) bool { return r != '\n' && r != unicode.ReplacementChar && wording.Hidden(r) }

// Log is the log in the JSON of every command that says no more of it.
type Log struct {
	File  string `json:"file"`
	Rows  int    `json:"rows"`
	Units string `json:"units"`
	dataset.ColumnsRead
}

// LogOf is the log of a run; used are columns of the log's own that the run
// is about.
func LogOf(l *dataset.Log, used ...string) Log {
	return Log{l.File(), l.Rows(), l.Units().System(), l.ColumnsRead().Using(used...)}
}
