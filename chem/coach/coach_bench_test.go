package coach_test

import (
	"math"
	"testing"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
	"example.org/halfdrop/chem/recipe"
)

// BenchmarkAdviseAfter20 is a decision with twenty additions behind it, each time on
// another reading of the same composition.
func BenchmarkAdviseAfter20(b *testing.B) {
	s, err := recipe.Compile(coachtest.Demo())
	if err != nil {
		b.Fatal(err)
	}
	bench, err := s.Bench(22)
	if err != nil {
		b.Fatal(err)
	}
	r := coach.Request{Now: coach.Present{PH: 7.2, SD: 0.004, FinalSD: 0.004, Settled: true}}
	ph := 5.3
	for i := range 20 {
		r.History.Observations = append(r.History.Observations, coach.Observation{After: i, PH: ph, SD: 0.004})
		r.History.Additions = append(r.History.Additions, coach.Addition{Stock: 0, Drops: 4, Volume: 4 * s.Stocks[0].Drop})
		ph += 0.09
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		r.Now.PH = 7.2 + wavers(i)
		bench.Advise(r)
	}
}

// wavers is how far reading i is from where it was, pH: never twice in a row the same.
func wavers(i int) float64 { return 0.002 * math.Sin(float64(i)) }

func BenchmarkAdviseFirst(b *testing.B) {
	s, _ := recipe.Compile(coachtest.Demo())
	bench, _ := s.Bench(22)
	r := coach.Request{Now: coach.Present{PH: 5.3, SD: 0.004, FinalSD: 0.004, Settled: true}}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		r.Now.PH = 5.3 + wavers(i)
		bench.Advise(r)
	}
}

func BenchmarkSetupBench(b *testing.B) {
	s, _ := recipe.Compile(coachtest.Demo())
	for b.Loop() {
		s.Bench(22)
	}
}
