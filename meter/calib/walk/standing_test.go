package walk

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/course"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
)

// Who stands in the wrong beaker is told after 20 s, where the end is known, with what the
// reading has still to go, to 0.15 pH or to a sixth of what it is off by; 58.56 mV are a pH at
// 22 °C, the standard of 7.01 should have about 0 mV. The figures are choices.
func TestWhenAReadingIsPlainlyElsewhere(t *testing.T) {
	s, err := standards.Find("7.00", standards.Technical)
	require.NoError(t, err)
	p := &Procedure{stage: Settle, gather: NewGather(s, 0, 22)}
	near := 0.149 * 58.56
	at := func(end, sd, left float64) Estimate { return Estimate{Known: true, MV: end, Now: end + left, SD: sd} }
	assert.True(t, p.plainly(at(30, near, 0), 20))
	assert.True(t, p.plainly(at(30, 0.6*near, -0.8*near), 20))
	assert.False(t, p.plainly(at(30, 0.62*near, -0.8*near), 20), "spread and way count together")
	assert.False(t, p.plainly(at(30, 1.02*near, 0), 20))
	assert.False(t, p.plainly(at(30, near, 0), 19.9), "it is still being rinsed")
	for _, side := range []float64{1, -1} {
		// The standard should have about -0.5 mV: 179.5 or 180.5 are what it is off by at rest.
		assert.True(t, p.plainly(at(180*side, 29, 0), 20))
		assert.False(t, p.plainly(at(180*side, 31, 0), 20))
		// From 155 mV to 180, a sixth of what it is off by now is 26; from 205 it is 30.
		assert.True(t, p.plainly(at(180*side, 1, -25*side), 20), "on its way from where it should be")
		assert.False(t, p.plainly(at(180*side, 10, -25*side), 20))
		assert.True(t, p.plainly(at(180*side, 14, 25*side), 20))
		assert.False(t, p.plainly(at(180*side, 18, 25*side), 20))
		assert.False(t, p.plainly(at(60*side, 1, 100*side), 20), "it may go on to where it should be")
		assert.False(t, p.plainly(at(100*side, 1, -130*side), 60), "the one and the other side")
	}
	unknown := at(100, near, 0)
	unknown.Known = false
	assert.False(t, p.plainly(unknown, 60))
	p.stage = Ask
	assert.False(t, p.plainly(at(100, near, 0), 60), "it is being asked about already")
}

// What is asked about before it is at rest has not settled.
func TestWordsOfAWrongBeakerOnItsWay(t *testing.T) {
	s, err := standards.Find("7.00", standards.Technical)
	require.NoError(t, err)
	p := &Procedure{stage: Settle, gather: NewGather(s, 0, 22), choices: []Choice{{Standard: s}}}
	assert.Contains(t, p.odd(Estimate{Known: true, MV: 175, Now: 169, SD: 5}), "it is going to about pH 4.01, 3.00 from the standard's 7.01: it reads as 4.01 does")
	assert.Contains(t, p.odd(Estimate{Known: true, MV: 175, Now: 171, SD: 5}), "it settled at about pH 4.01, 3.00 from")
}

// What reads like a standard that is not in the list, to 12 mV of an ideal electrode, is asked
// about by that name; one of the list is meant from 30 mV on. The figures are choices.
func TestWhatAPotentialReadsAs(t *testing.T) {
	find := func(name string) standards.Standard {
		s, err := standards.Find(name, standards.Technical)
		require.NoError(t, err)
		return s
	}
	seven, ten := find("7.00"), find("10.01")
	ph, err := ten.PH(22)
	require.NoError(t, err)
	for off, named := range map[float64]bool{11: true, 13: false, -11: true, -13: false} {
		p := &Procedure{stage: Settle, gather: NewGather(seven, 0, 22), choices: []Choice{{Standard: seven}}}
		said := p.likeness(nernst.MV(ph, 22)-off, 7.01, nil)
		assert.Equal(t, named, strings.HasPrefix(said, "it reads as 10.01 does"), "%g mV off: %s", off, said)
	}
	for off, named := range map[float64]bool{29: true, 31: false} {
		p := &Procedure{stage: Settle, gather: NewGather(seven, 0, 22), choices: []Choice{{Standard: seven}, {Standard: ten}}}
		said := p.likeness(nernst.MV(ph, 22)-off, 7.01, nil)
		assert.Equal(t, named, said == "it reads as 10.01 should: is the electrode in that beaker?", "%g mV off: %s", off, said)
	}
}

// What came in less than a quarter of the way from standard to standard is a late part, where
// the way is 60 mV at least; one dip that was seen on its way is enough. The figures are choices.
func TestWhenOnlyATailWasSeen(t *testing.T) {
	came := func(mv ...float64) *Procedure {
		p := &Procedure{}
		for i, y := range mv {
			p.taken = append(p.taken, dip{at: i, course: course.Dip{Bins: []course.Bin{{Y: y}, {T: 60}}}})
		}
		return p
	}
	ends := func(mv ...float64) *course.Ends {
		e := &course.Ends{N: len(mv)}
		copy(e.MV[:], mv)
		return e
	}
	assert.True(t, came(170, 43).tail(ends(0, -176)), "24 %")
	assert.False(t, came(170, 45).tail(ends(0, -176)), "26 %")
	assert.False(t, came(1, 20, 100).tail(ends(0, -176, 170)))
	assert.True(t, came(1, 20, 60).tail(ends(0, -176, 170)))
	assert.True(t, came(1, 2).tail(ends(0, 62)))
	assert.False(t, came(1, 2).tail(ends(0, 58)), "nothing is known of the way")
	assert.False(t, came(1).tail(ends(0)))
	p := came(1, 2)
	p.taken[0].at = -1
	assert.False(t, p.tail(ends(0, -176)), "of a value that was typed")
}

// A value that was typed is where the person saw it stand.
func TestATypedValueStands(t *testing.T) {
	s, err := standards.Find("7.00", standards.Technical)
	require.NoError(t, err)
	p := NewProcedure([]Choice{{Standard: s}}, 22, nil)
	require.NoError(t, p.Type(0, meter.Reading{Quantity: meter.Millivolt, Value: 175, Decimals: 1}, false))
	assert.Equal(t, Ask, p.Stage())
	assert.Contains(t, p.Why(), "it settled at about pH 4.01")
}
