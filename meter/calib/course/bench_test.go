package course

import (
	"math"
	"testing"
)

// BenchmarkJoint fits three dips of a minute each, as it is done every second of a third one.
func BenchmarkJoint(b *testing.B) {
	var dips []Dip
	for i, end := range []float64{0, 177, -177} {
		d := Dip{Step: 0.1}
		if i > 0 {
			d.Gap = 12
		}
		for s := 1.0; s <= 60; s++ {
			d.Bins = append(d.Bins, Bin{T: s, Y: end + 60*math.Exp(-s/4) + 3*math.Exp(-s/100), N: 1})
		}
		dips = append(dips, d)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := Joint(dips); !ok {
			b.Fatal("not fitted")
		}
	}
}
