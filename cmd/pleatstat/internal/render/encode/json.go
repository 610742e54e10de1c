// Package encode writes results for other programs: JSON by the tags of the result
// structs, CSV, and tables that a CSV and a page share. It knows no particular result.
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

// digits is the number of significant digits of a number for other programs. Later
// digits differ between processors: some multiply and add in one step, which rounds
// once instead of twice. With six, the same log gives the same file on all of them,
// and no reading has as many.
const digits = 6

// rounded returns v with that many digits.
func rounded(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
	if err != nil { // rounded up beyond the largest float64
		return v
	}
	return r
}

// JSON writes v as indented JSON with control and formatting characters escaped.
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

// escapeHidden escapes hidden characters that encoding/json leaves in texts (C1
// controls, DEL, direction overrides). Outside texts, JSON has none but line breaks.
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

// Log describes the log in the JSON of the commands that say no more about it.
type Log struct {
	File  string `json:"file"`
	Rows  int    `json:"rows"`
	Units string `json:"units"`
	dataset.ColumnsRead
}

// LogOf describes the log of a run; used names the log's own columns that the run is
// about.
func LogOf(l *dataset.Log, used ...string) Log {
	return Log{l.File(), l.Rows(), l.Units().System(), l.ColumnsRead().Using(used...)}
}
