package panel

import (
	"encoding/binary"
	"math"
	"testing"

	"pleatstat/stats/num"
	"pleatstat/stats/rank"
)

// blocksFrom turns bytes into blocks: 17 bytes per value, the first of which
// chooses the block.
func blocksFrom(data []byte) []num.Series {
	blocks := make([]num.Series, 3)
	for ; len(data) >= 17; data = data[17:] {
		b := &blocks[int(data[0])%len(blocks)]
		b.T = append(b.T, math.Float64frombits(binary.LittleEndian.Uint64(data[1:])))
		b.Y = append(b.Y, math.Float64frombits(binary.LittleEndian.Uint64(data[9:])))
	}
	return blocks
}

// No input makes a blocked method panic, hang or return a p-value outside [0, 1].
func FuzzBlocked(f *testing.F) {
	pack := func(values ...float64) []byte {
		var out []byte
		for i := 0; i+1 < len(values); i += 2 {
			out = append(out, byte(i/6))
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(values[i]))
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(values[i+1]))
		}
		return out
	}
	f.Add([]byte{})
	f.Add(pack(1, 0.4, 2, 0.41, 3, 0.39, 4, 0.38, 1, 0.5, 2, 0.5, 3, 0.5))
	f.Add(pack(1, 1, 1, 1, 1, 1))
	f.Add(pack(1, math.NaN(), 2, math.Inf(1)))
	f.Add(pack(1, 1e308, 2, -1e308, 3, 1e308, 1e300, 5e-324, -1e300, 0, 5e-324, 1))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 17*40 {
			return
		}
		blocks := blocksFrom(data)
		probability := func(what string, p float64) {
			if p < 0 || p > 1+1e-9 {
				t.Fatalf("%s: p %v", what, p)
			}
		}
		if r, err := rank.BlockedKendall(blocks); err == nil {
			probability("blocked Kendall", r.P)
			probability("exact", r.ExactP)
		}
		_, _ = rank.BlockedSen(blocks, 0.95)
		if r, err := FixedEffects(blocks); err == nil {
			probability("line", r.P())
		}
		if r, err := RobustFixedEffects(blocks, FixedEffectsOptions{}); err == nil {
			probability("robust line", r.P())
		}
		_, _ = PseudoValues(blocks, 1)
		if r, err := rank.WithinPermutation(blocks, rank.PermutationOptions{Most: 100}); err == nil {
			probability("permutation", r.P)
		}
		_, _ = FixedEffectsChange(blocks, ChangeOptions{})
		one := blocks[0]
		if r, err := rank.BlockedKendall(blocks[:1]); err == nil {
			probability("Kendall", r.P)
		}
		_, _ = rank.HodgesLehmann([][]float64{one.T}, [][]float64{one.Y}, 0.95)
		_, _ = CUSUM(one.Y, CUSUMOptions{})
	})
}

func BenchmarkRobustFixedEffects(b *testing.B) {
	blocks := []num.Series{}
	for i := range 50 {
		var s num.Series
		for k := range 200 {
			s.T = append(s.T, float64(k)/30)
			s.Y = append(s.Y, math.Round(40+float64(i)+10*math.Sin(float64(k*k+i)))/100)
		}
		blocks = append(blocks, s)
	}
	for b.Loop() {
		if _, err := RobustFixedEffects(blocks, FixedEffectsOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
