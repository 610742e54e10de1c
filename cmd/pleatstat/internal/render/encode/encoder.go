package encode

import (
	"bytes"
	"encoding"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strings"
	"time"
)

// encoder writes results as compact JSON by the json tags of their structs. It differs
// from encoding/json as follows: numbers are rounded, and NaN and infinities are
// null; lists are never null; times are dates, and the zero time is null; fields
// without a tag are left out. The fields of embedded structs, and of those tagged
// ",inline", take the place of the struct. Two more tags are known:
//
//	null:"zero", null:"negative"   a zero or negative value is written as null
//	without:"low,high"             leaves these keys out of the struct, or of each struct in the list
type encoder struct {
	bytes.Buffer
	plain *json.Encoder // writes to the same buffer
}

func newEncoder() *encoder {
	e := &encoder{}
	e.plain = json.NewEncoder(&e.Buffer)
	e.plain.SetEscapeHTML(false)
	return e
}

var (
	marshalsJSON = reflect.TypeFor[json.Marshaler]()
	marshalsText = reflect.TypeFor[encoding.TextMarshaler]()
)

// value writes v. If v is a struct or a list of structs, the keys named in without are
// left out.
func (e *encoder) value(v reflect.Value, without string) error {
	if !v.IsValid() {
		return e.encode(nil)
	}
	switch t := v.Type(); {
	case t == reflect.TypeFor[time.Time]():
		if day := v.Interface().(time.Time); !day.IsZero() {
			return e.encode(day.Format(time.DateOnly))
		}
		return e.encode(nil)
	case t.Implements(marshalsJSON), t.Implements(marshalsText):
		return e.encode(v.Interface())
	}
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); !math.IsNaN(f) && !math.IsInf(f, 0) {
			return e.encode(rounded(f))
		}
		return e.encode(nil)
	case reflect.Pointer, reflect.Interface:
		return e.value(v.Elem(), without)
	case reflect.Slice:
		e.WriteByte('[')
		for i := range v.Len() {
			if i > 0 {
				e.WriteByte(',')
			}
			if err := e.value(v.Index(i), without); err != nil {
				return err
			}
		}
		e.WriteByte(']')
		return nil
	case reflect.Struct:
		e.WriteByte('{')
		err := e.fields(v, without)
		e.WriteByte('}')
		return err
	}
	return e.encode(v.Interface())
}

// fields writes the keys of a struct and their values.
func (e *encoder) fields(v reflect.Value, without string) error {
	for i := range v.NumField() {
		field := v.Type().Field(i)
		name, option, _ := strings.Cut(field.Tag.Get("json"), ",")
		value, inner := v.Field(i), field.Tag.Get("without")
		switch {
		case option == "inline", field.Anonymous && name == "":
			if err := e.fields(reflect.Indirect(value), without+","+inner); err != nil {
				return err
			}
			continue
		case name == "", name == "-", slices.Contains(strings.Split(without, ","), name), strings.HasPrefix(option, "omit") && empty(value):
			continue
		}
		if b := e.Bytes(); b[len(b)-1] != '{' {
			e.WriteByte(',')
		}
		e.WriteString(`"` + name + `":`)
		if null := field.Tag.Get("null"); null == "zero" && value.IsZero() || null == "negative" && value.Int() < 0 {
			value = reflect.Value{}
		}
		if err := e.value(value, inner); err != nil {
			return err
		}
	}
	return nil
}

func empty(v reflect.Value) bool { return v.IsZero() || v.Kind() == reflect.Slice && v.Len() == 0 }

// encode writes v as encoding/json does, without the line break after it.
func (e *encoder) encode(v any) error {
	err := e.plain.Encode(v)
	e.Truncate(len(bytes.TrimRight(e.Bytes(), "\n")))
	return err
}
