package probe

import (
	"math/rand/v2"
	"os"
	"slices"
)

func q(list []float64, p float64) float64 {
	if len(list) == 0 {
		return 0
	}
	s := slices.Clone(list)
	slices.Sort(s)
	return s[min(int(p*float64(len(s))), len(s)-1)]
}

func mean(list []float64) float64 {
	s := 0.0
	for _, x := range list {
		s += x / float64(len(list))
	}
	return s
}

func mixOf(r *rand.Rand) float64 {
	m := 1 + 2*r.Float64()
	if os.Getenv("MIX") != "" {
		return 1.8
	}
	return m
}
