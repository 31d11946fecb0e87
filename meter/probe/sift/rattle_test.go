package sift_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe/sift"
)

// share is how often of 200 the latest of n readings rattle.
func share(n int, swings bool, y func(r *rand.Rand, i int) float64) float64 {
	found := 0
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 65))
		var list []sift.Sample
		for i := range n {
			list = sift.Recent(list, sift.Sample{T: float64(i), PH: y(r, i)})
		}
		if some, _ := sift.Rattles(list, swings); some != nil {
			found++
		}
	}
	return float64(found) / 200
}

// White noise rattles, as nearly all of it does; a way does not, nor its first readings.
func TestWhiteNoiseRattles(t *testing.T) {
	white := func(sd float64) func(*rand.Rand, int) float64 {
		return func(r *rand.Rand, _ int) float64 { return 7 + sd*r.NormFloat64() }
	}
	assert.Zero(t, share(13, false, white(0.01)), "14 readings it takes")
	assert.Greater(t, share(14, false, white(0.01)), 0.75)
	assert.Greater(t, share(14, false, white(0.045)), 0.7, "0.05 is no fault")
	assert.Less(t, share(14, false, white(0.13)), 0.04)
	wild := func(r *rand.Rand, i int) float64 {
		if i == 4 || i == 9 {
			return 7.2
		}
		return 7 + 0.01*r.NormFloat64()
	}
	assert.Greater(t, share(14, false, wild), 0.7, "two may stand out")
	ramp := func(r *rand.Rand, i int) float64 { return 7 + 0.01*r.NormFloat64() + 0.006*float64(i) }
	assert.Less(t, share(14, false, ramp), 0.3)
	for late := 3; late < 9; late++ { // a way that has just begun; two readings of it may stand out
		step := func(r *rand.Rand, i int) float64 {
			return 7 + 0.002*r.NormFloat64() + 0.05*math.Max(0, float64(i-13+late))
		}
		assert.Less(t, share(14, false, step), 0.03, "%d", late)
		assert.Less(t, share(28, true, func(r *rand.Rand, i int) float64 { return step(r, i-14) }), 0.03, "%d", late)
	}
}

// What swings rattles where that counts, over a longer time.
func TestSwingsRattle(t *testing.T) {
	swing := func(period float64) func(*rand.Rand, int) float64 {
		return func(r *rand.Rand, i int) float64 {
			return 7 + 0.02*math.Sin(2*math.Pi*(float64(i)/period+r.Float64()*0.05)) + 0.001*r.NormFloat64()
		}
	}
	assert.Greater(t, share(28, true, swing(8.3)), 0.95)
	assert.Zero(t, share(28, false, swing(8.3)))
	assert.Zero(t, share(27, true, swing(8.3)))
	assert.Zero(t, share(28, true, swing(40)), "so slowly the beaker itself may move")
	ramp := func(r *rand.Rand, i int) float64 { return 7 + 0.01*r.NormFloat64() + 0.006*float64(i) }
	assert.Less(t, share(28, true, ramp), 0.3)
}

// Drops that fall one by one are no noise, however slowly.
func TestDropsDoNotRattle(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 63))
		at, level := 5.0, 5.0
		var list []sift.Sample
		for s := range 140 {
			if s%(2+int(seed%4)) == 0 {
				level += 0.015
			}
			at += (level - at) * 0.3
			list = sift.Recent(list, sift.Sample{T: float64(s), PH: at + 0.002*r.NormFloat64()})
			some, _ := sift.Rattles(list, true)
			assert.Nil(t, some, "seed %d, %d s", seed, s)
		}
	}
}

// What swings while it goes on is on its way, and what wanders is in doubt.
func TestSwingsOnAWay(t *testing.T) {
	swing := func(period, way float64) func(*rand.Rand, int) float64 {
		return func(_ *rand.Rand, i int) float64 {
			return 7 + 0.02*math.Sin(2*math.Pi*float64(i)/period) + way*float64(i)
		}
	}
	assert.Zero(t, share(28, true, swing(6, 0.0015)), "0.04 in 28 readings")
	assert.Equal(t, 1.0, share(28, true, swing(8.3, 0.0010)), "0.03")
	walk := func() func(*rand.Rand, int) float64 {
		y := 0.0
		return func(r *rand.Rand, i int) float64 {
			if i == 0 {
				y = 0
			}
			y = 0.9*y + 0.44*r.NormFloat64()
			return 7 + 0.02*y
		}
	}
	assert.Less(t, share(28, true, walk()), 0.5)
}
