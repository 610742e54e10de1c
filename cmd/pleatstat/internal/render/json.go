package render

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
	"time"
	"unicode"
)

// num is a number of the output, null where it is missing or has no finite value.
type num float64

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

func (n num) MarshalJSON() ([]byte, error) {
	f := float64(n)
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(rounded(f))
}

// orNull is nil for an empty text, so that it is written as null.
func orNull(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// countOrNull is nil where a count does not apply.
func countOrNull(n int, applies bool) *int {
	if !applies {
		return nil
	}
	return &n
}

// day is an ISO 8601 date, null for the zero time.
func day(t time.Time) *string {
	if t.IsZero() {
		return nil
	}
	return orNull(t.Format(time.DateOnly))
}

// list turns a nil slice into an empty one: a list is never null.
func list[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}

// writeJSON writes v as indented JSON in which control and formatting
// characters stand escaped.
func writeJSON(w io.Writer, v any) error {
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
			out = append(out, escape(r)...)
			continue
		}
		out = append(out, string(r)...)
	}
	return out
}

func hiddenInJSON(r rune) bool { return r != '\n' && r != unicode.ReplacementChar && hidden(r) }

// missingUnless is v where it applies, otherwise missing.
func missingUnless(applies bool, v float64) num {
	if !applies {
		return num(math.NaN())
	}
	return num(v)
}
