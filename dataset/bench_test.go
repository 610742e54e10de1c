package dataset

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"
)

// manyRows writes an invented log of n openings and 14 columns.
func manyRows(n int) []byte {
	r := rand.New(rand.NewPCG(1, 2))
	makers := []string{"Skerrow", "Thornquay", "Veldmarsh", "Pellbrook", "Orrinvale", "Lowmere", "Brackhollow", "Wexcombe"}
	media := []string{"cellulose", "blend", "synthetic"}
	var b bytes.Buffer
	b.WriteString("opened,maker,part,price,can_od_mm,can_height_mm,total_mass_g,can_mass_g,media_mass_g,can_gauge_mm,pleats,element_width_in,media_length_in,media_type\n")
	for range n {
		m := r.IntN(len(makers))
		fmt.Fprintf(&b, "20%02d-%02d-%02d,%s,%s-%d,$%.2f,%.1f,%.1f,%.1f,%.1f,%.1f,%.2f,%d,%.2f,%.2f,%s\n",
			19+r.IntN(7), 1+r.IntN(12), 1+r.IntN(28), makers[m], makers[m][:2], r.IntN(400),
			4+20*r.Float64(), 60+40*r.Float64(), 70+60*r.Float64(), 150+300*r.Float64(), 60+90*r.Float64(), 6+12*r.Float64(),
			0.3+0.4*r.Float64(), 40+r.IntN(40), 1.2+2*r.Float64(), 30+50*r.Float64(), media[r.IntN(3)])
	}
	return b.Bytes()
}

func BenchmarkRead100k(b *testing.B) {
	data := manyRows(100_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(bytes.NewReader(data), "log.csv", Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFrame100k(b *testing.B) {
	l, err := Read(bytes.NewReader(manyRows(100_000)), "log.csv", Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := l.Frame(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCell(b *testing.B) {
	l, err := Read(bytes.NewReader(manyRows(1000)), "log.csv", Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		l.Cell(500, "can_gauge")
	}
}
