package encode

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"
	"time"
)

type tail struct {
	P float64 `json:"p"`
	Q float64 `json:"q"`
}

// Each rule of the encoder is tested once, beside a value to which it does not apply.
func TestJSONByTags(t *testing.T) {
	type row struct {
		tail `without:"q"`
		Name string `json:"name" null:"zero"`
	}
	at := time.Date(2024, time.March, 9, 0, 0, 0, 0, time.UTC)
	for want, v := range map[string]any{
		`{"a":0.123457,"b":null,"c":null}`: struct {
			A float64 `json:"a"`
			B float64 `json:"b"`
			C float64 `json:"c"`
		}{0.123456789, math.NaN(), math.Inf(-1)},
		`{"day":"2024-03-09","none":null}`: struct {
			Day  time.Time `json:"day"`
			None time.Time `json:"none"`
		}{Day: at},
		`{"rows":[{"p":1,"name":"<x>"},{"p":0,"name":null}],"none":[]}`: struct {
			Rows []row   `json:"rows"`
			None [][]int `json:"none"`
		}{Rows: []row{{tail{1, 2}, "<x>"}, {}}},
		`{"rows":[{"name":null}]}`: struct {
			Rows []*row `json:"rows" without:"p"`
		}{[]*row{{}}},
		`{"none":null,"some":-1,"need":null,"have":0}`: struct {
			None int `json:"none" null:"zero"`
			Some int `json:"some" null:"zero"`
			Need int `json:"need" null:"negative"`
			Have int `json:"have" null:"negative"`
		}{Some: -1, Need: -1},
		`{"p":0,"q":0,"at":null,"same":{"p":0,"q":0}}`: struct {
			In      tail `json:",inline"`
			At      *row `json:"at"`
			Same    tail `json:"same"`
			Left    int
			Nothing []int `json:"nothing,omitempty"`
		}{},
	} {
		var b, flat bytes.Buffer
		if err := JSON(&b, v); err != nil {
			t.Fatal(err)
		}
		if err := json.Compact(&flat, b.Bytes()); err != nil || flat.String() != want {
			t.Errorf("got %s, want %s (%v)", &flat, want, err)
		}
	}
}
