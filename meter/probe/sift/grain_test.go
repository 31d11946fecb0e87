package sift_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe/sift"
)

// A meter that goes on by steps of its converter is as coarse as those are, whatever it
// prints; one with noise of all sizes, or that only moves, is as fine as its digits.
func TestGrain(t *testing.T) {
	for _, c := range []struct {
		name       string
		step       float64 // of the converter, pH
		noise, way float64 // pH, and pH a reading
		want       float64
	}{
		{"ten bits", 0.0195, 0.010, 0, 0.0195},
		{"0.02", 0.02, 0.010, 0, 0.02},
		{"0.01", 0.01, 0.005, 0, 0.01},
		{"of good glass", 0.001, 0.0015, 0, 0.001},
		{"noisy", 0.001, 0.02, 0, 0.001},
		{"on its way", 0.001, 0.0015, 0.07, 0.001},
		{"flickers in its last digit", 0.01, 0.005, 0, 0.01},
		{"on its way in equal steps", 0.001, 0, 0.03, 0.001},
		{"goes by too much for a step", 0.2, 0.08, 0, 0.001},
	} {
		for seed := range uint64(20) {
			r := rand.New(rand.NewPCG(seed, 8))
			g := sift.Grain{}
			for i := range 60 {
				y := 7 + c.way*float64(i) + c.noise*r.NormFloat64() + 0.5*c.step*float64(seed%2)
				g = g.Push(math.Round(1000*c.step*math.Round(y/c.step))/1000, 0.001)
			}
			assert.InDelta(t, c.want, g.Step(0.001), 0.0016, "%s, seed %d", c.name, seed)
		}
	}
}

// Half a dozen changes tell, and not before.
func TestGrainIsSoonKnown(t *testing.T) {
	g, at := sift.Grain{}, 0
	for i := range 20 {
		if g = g.Push(7+0.02*float64(i%2), 0.001); at == 0 && g.Step(0.001) > 0.01 {
			at = i
		}
	}
	assert.Equal(t, 6, at)
	for i := range 3 { // what is smaller has the last word
		g = g.Push(7.02+0.007*float64(i), 0.001)
	}
	assert.Equal(t, 0.001, g.Step(0.001))
}

// Noise shows changes of its least size, too, but most are larger.
func TestGrainOfHalfTheChanges(t *testing.T) {
	push := func(g sift.Grain, d float64) sift.Grain { return g.Push(7+d, 0.001).Push(7, 0.001) }
	g := sift.Grain{}.Push(7, 0.001)
	for range 6 {
		g = push(g, 0.010)
	}
	for range 5 {
		g = push(g, 0.030)
	}
	assert.InDelta(t, 0.010, g.Step(0.001), 1e-9, "12 of 22")
	for range 2 {
		g = push(g, 0.030)
	}
	assert.Equal(t, 0.001, g.Step(0.001), "12 of 26")
	assert.Equal(t, 0.001, push(push(push(sift.Grain{}.Push(7, 0.001), 0.06), 0.06), 0.06).Step(0.001))
	assert.InDelta(t, 0.04, push(push(push(sift.Grain{}.Push(7, 0.001), 0.04), 0.04), 0.04).Step(0.001), 1e-9)
}

// How fine a meter may be the first changes tell, also those of a way.
func TestGrainAtTheLeast(t *testing.T) {
	g := sift.Grain{}
	for i, y := range []float64{9.50, 9.50, 9.42, 8.14, 7.80} {
		assert.Zero(t, g.Push(y, 0.001).Least(), i)
		g = g.Push(y, 0.001)
	}
	g = g.Push(7.70, 0.001)
	assert.Zero(t, g.Least(), "0.08 is a way")
	g = g.Push(7.66, 0.001)
	assert.Zero(t, g.Least(), "a way goes on in equal steps, too")
	g = g.Push(7.70, 0.001)
	assert.InDelta(t, 0.04, g.Least(), 1e-9)
	g = g.Push(7.68, 0.001)
	assert.Zero(t, g.Least())
	assert.InDelta(t, 0.02, g.Push(7.70, 0.001).Least(), 1e-9)
	few := sift.Grain{}
	for i := range 4 {
		assert.Zero(t, few.Least(), i)
		few = few.Push(7+0.02*float64(i%2), 0.001)
	}
	assert.InDelta(t, 0.02, few.Push(7, 0.001).Least(), 1e-9, "the fourth change")
	assert.Equal(t, 0.001, g.Push(7.74, 0.001).Step(0.001), "which it takes more to be sure of")
}

// Three of the changes by one step went back: a way in equal steps may turn round once or twice.
func TestGrainGoesBack(t *testing.T) {
	g, y := sift.Grain{}.Push(7, 0.001), 7.0
	goes := func(steps ...float64) {
		for _, d := range steps {
			y += 0.02 * d
			g = g.Push(y, 0.001)
		}
	}
	goes(1, 1, 1, 1, -1, -1, -1, 1, 1)
	assert.Equal(t, 0.001, g.Step(0.001))
	goes(-1)
	assert.InDelta(t, 0.02, g.Step(0.001), 1e-9)
}
