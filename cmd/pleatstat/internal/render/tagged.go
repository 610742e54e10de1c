package render

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"

	"pleatstat/stats/drift"
	"pleatstat/stats/price"
	"pleatstat/stats/trend"
)

// tagged is a result that is written by the tags of its structs: numbers as num
// (missing ones null), lists never null, fields without a tag left out. What every
// JSON tells alike, a verdict for one, has its own form.
type tagged struct{ value any }

func (t tagged) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	err := writeTagged(&b, reflect.ValueOf(t.value))
	return b.Bytes(), err
}

func writeTagged(b *bytes.Buffer, v reflect.Value) error {
	if own, ok := ownForm(v); ok {
		return appendJSON(b, own)
	}
	switch v.Kind() {
	case reflect.Float64:
		return appendJSON(b, num(v.Float()))
	case reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			b.WriteString("null")
			return nil
		}
		return writeTagged(b, v.Elem())
	case reflect.Slice:
		b.WriteByte('[')
		for i := range v.Len() {
			if i > 0 {
				b.WriteByte(',')
			}
			if err := writeTagged(b, v.Index(i)); err != nil {
				return err
			}
		}
		b.WriteByte(']')
		return nil
	case reflect.Struct:
		return writeFields(b, v)
	}
	return appendJSON(b, v.Interface())
}

// ownForm is the form that a value has in every JSON.
func ownForm(v reflect.Value) (any, bool) {
	if !v.IsValid() || !v.CanInterface() {
		return nil, false
	}
	switch own := v.Interface().(type) {
	case price.Verdict:
		return verdictOf(own), true
	case drift.Entry:
		return driftOf([]drift.Entry{own})[0], true
	case trend.Flag:
		return flagsOf([]trend.Flag{own})[0], true
	}
	return nil, false
}

func writeFields(b *bytes.Buffer, v reflect.Value) error {
	b.WriteByte('{')
	first := true
	for i := range v.NumField() {
		name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		if name == "" || name == "-" {
			continue
		}
		if !first {
			b.WriteByte(',')
		}
		first = false
		fmt.Fprintf(b, "%q:", name)
		if err := writeTagged(b, v.Field(i)); err != nil {
			return err
		}
	}
	b.WriteByte('}')
	return nil
}

// appendJSON writes a value as encoding/json has it.
func appendJSON(b *bytes.Buffer, v any) error {
	e := json.NewEncoder(b) // the line break behind it goes with the rest of the white space
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
