package sift

import (
	"math"
	"slices"
)

// Readings that come and go about one value, as noise does, rather than being on a way: a
// choice of this project.
const (
	whiteOf    = 14  // readings that tell it of white noise
	whiteRatio = 1.2 // by von Neumann's ratio, at least: it is 2 for white noise, near 0 for a way
	whiteTurns = 4   // and from one side of their mean to the other: the first of a way make one or two
	swingOf    = 28  // readings that tell it of what swings
	swingTurns = 5   // from half a standard deviation on one side of their mean to as much on the other
	swingSlope = 0.8 // standard deviations between the means of their halves, at most: 1.7 for a way
	rattleOut  = 2   // readings that may stand out, and are left out
	rattleMost = 0.06
)

// Recent keeps the latest readings, as many as Rattles looks at: a copy of the list that
// was made before stays as it was.
func Recent(list []Sample, o Sample) []Sample {
	if n := len(list); n >= swingOf {
		list = list[n-swingOf+1:]
	}
	return append(slices.Clip(list), o)
}

// Rattles are the latest readings that come and go about one value, with their standard
// deviation, pH; none where they are on a way, or fewer than it takes to tell: as white noise
// does, or as what swings when that is to count. More than 0.06 pH is no noise of an
// electrode in its beaker.
func Rattles(list []Sample, swings bool) (some []Sample, sd float64) {
	if len(list) < whiteOf {
		return nil, 0
	}
	some = list[len(list)-whiteOf:]
	if c := coming(some); c.ratio > whiteRatio && c.turns >= whiteTurns && c.sd < rattleMost {
		return some, c.sd
	}
	if !swings || len(list) < swingOf {
		return nil, 0
	}
	if c := coming(list); c.swings >= swingTurns && c.slope < swingSlope && c.sd < rattleMost {
		return list, c.sd
	}
	return nil, 0
}

// comings is how readings come and go.
type comings struct {
	sd     float64 // pH
	ratio  float64 // of successive differences (J. von Neumann, Ann. Math. Stat. 12, 367, 1941, from memory)
	turns  int     // from one side of their mean to the other
	swings int     // from half a standard deviation on the one side to as much on the other
	slope  float64 // standard deviations between the means of their halves
}

// coming is how they do, but for those that stand out most.
func coming(list []Sample) (c comings) {
	ys := make([]float64, len(list))
	for i, o := range list {
		ys[i] = o.PH
	}
	for range rattleOut {
		mid, out := median(slices.Clone(ys)), 0
		for i, y := range ys {
			if math.Abs(y-mid) > math.Abs(ys[out]-mid) {
				out = i
			}
		}
		ys = slices.Delete(ys, out, out+1)
	}
	half := len(ys) / 2
	first, second := mean(ys[:half]), mean(ys[half:])
	middle, steps, square := mean(ys), 0.0, 0.0
	for i, y := range ys {
		square += (y - middle) * (y - middle)
		if i > 0 {
			steps += (y - ys[i-1]) * (y - ys[i-1])
			if (y > middle) != (ys[i-1] > middle) {
				c.turns++
			}
		}
	}
	c.sd = math.Sqrt(square / float64(len(ys)-1))
	side := 0.0
	for _, y := range ys {
		if d := y - middle; math.Abs(d) > c.sd/2 {
			if d*side < 0 {
				c.swings++
			}
			side = d
		}
	}
	c.ratio, c.slope = steps/square, math.Abs(first-second)/c.sd
	return c
}

func mean(ys []float64) (m float64) {
	for _, y := range ys {
		m += y / float64(len(ys))
	}
	return m
}

// median sorts the list, which must not be empty.
func median(list []float64) float64 {
	slices.Sort(list)
	return (list[(len(list)-1)/2] + list[len(list)/2]) / 2
}
