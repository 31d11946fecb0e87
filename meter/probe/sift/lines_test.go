package sift

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// seen is what becomes of readings that come one a second.
func seen(ys ...float64) (p Lines, count []float64) {
	for i, y := range ys {
		var pass []Sample
		p, pass, _ = p.Push(Sample{T: float64(i), PH: y})
		for _, o := range pass {
			count = append(count, o.PH)
		}
	}
	return p, count
}

// row is a row of readings: low for a dot, high for a bar.
func row(pattern string, low, high float64) (ys []float64) {
	for i, c := range pattern {
		y := low + 0.01*float64(i*7%3-1)
		if c == '|' {
			y += high - low
		}
		ys = append(ys, y)
	}
	return ys
}

// between is a window in which low and high readings turn about, apart by gap; each line spreads by
// so much.
func between(gap, low, high float64) (ys []float64) {
	for i := range 14 {
		part := float64(i/2) / 6
		ys = append(ys, 7-low*part)
		if i%2 == 1 {
			ys[i] = 7 + gap + high*part
		}
	}
	return ys
}

// Two lines are seen where half of the readings stand a fifth of a pH above the others, turn
// and turn about, and where that is more than two fifths of what either of them spreads by. They are not seen where the lines are as near as two readings of a simple
// sensor, where few readings stand above, or where the beaker or the electrode changes and
// changes back.
func TestWhatAreTwoLines(t *testing.T) {
	for name, c := range map[string]struct {
		ys []float64
		on bool
	}{
		"turn and turn about":     {row("..||.|..||.|.|", 7, 7.22), true},
		"seldom turning":          {row("...||..|||..||", 7, 7.27), true},
		"near each other":         {row("..||.|..||.|.|", 7, 7.12), false},
		"three wild ones":         {row(".|....|....|..", 7, 9), false},
		"out and in again, twice": {row("..||||...||||.", 7, 9), false},
		"wide, and apart":         {between(0.18, 0.35, 0.6), true},
		"wide, and not apart":     {between(0.18, 0.55, 0.6), false},
		"too few to tell":         {row(".|.|.|.|.|", 7, 7.4), false},
	} {
		p, _ := seen(c.ys...)
		assert.Equal(t, c.on, p.on, name)
	}
}

// Of two lines the lower is followed while it rises by what drops do in a second, the further
// the more readings were left out, and at once where it falls; where all readings stand
// above it for some seconds, it has risen; and a minute with one line ends it.
func TestTheLowerOfTwoLinesIsFollowed(t *testing.T) {
	on := func() Lines {
		p, _ := seen(row("..||.|..||.|.|.", 7, 7.4)...)
		require.True(t, p.on)
		p.last = 7
		return p
	}
	counts := func(p Lines, ys ...float64) (Lines, bool) {
		var pass []Sample
		for i, y := range ys {
			p, pass, _ = p.Push(Sample{T: float64(100 + i), PH: y})
		}
		return p, len(pass) > 0
	}
	for _, c := range []struct {
		ys []float64
		is bool
	}{
		{[]float64{7.08}, true},           // a drop
		{[]float64{7.13}, false},          // a turn of the stirrer is not that fast
		{[]float64{7.4, 7.13}, true},      // two drops
		{[]float64{7.4, 7.16}, false},     // that are not that large
		{[]float64{7.4, 7.4, 7.16}, true}, // three
		{[]float64{7.4, 7.4, 7.4, 7.19}, true},
		{[]float64{7.4, 7.4, 7.4, 7.4, 7.4, 7.24}, false}, // nearly the upper line
		{[]float64{6.2}, true},
	} {
		_, is := counts(on(), c.ys...)
		assert.Equal(t, c.is, is, "%v", c.ys)
	}
	up := []float64{7.5, 7.42, 7.5, 7.41, 7.5, 7.43}
	p, is := counts(on(), up...)
	assert.False(t, is, "%d above it may be chance: 1 in 64", len(up))
	for range 3 {
		if p, is = counts(p, 7.42); is {
			break
		}
	}
	assert.True(t, is, "nine are not: 1 in 512")
	assert.InDelta(t, 7.42, p.last, 0.011)

	p = on()
	for range 40 {
		p, _ = counts(p, 7)
	}
	assert.True(t, p.on, "two lines that rest for less than a minute")
	for range 40 {
		p, _ = counts(p, 7)
	}
	assert.False(t, p.on)
}
