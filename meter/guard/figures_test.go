package guard

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

var errElse = errors.New("no reading")

// What differs from a reading by a quarter of its letters is one that arrived damaged.
func TestWhatResemblesAReading(t *testing.T) {
	const model = "abcdefghijklmnopqrst"
	for slips, want := range map[int]Worth{5: Damaged, 6: Foreign} {
		j := Judge{model: model}
		assert.Equal(t, want, j.Worth([]byte(strings.Repeat("XY", 3)[:slips]+model[slips:]), errElse), "%d of 20", slips)
	}
}

// Of the kinds of lines that are none 64 are kept: with more all are forgotten.
func TestHowManyKindsAreKept(t *testing.T) {
	third := func(others int) Worth {
		var j Judge
		j.Worth([]byte("hello"), errElse)
		j.Worth([]byte("hello"), errElse)
		for i := range others {
			j.Worth([]byte(strings.Repeat("ab", i+1)), errElse)
		}
		return j.Worth([]byte("hello"), errElse)
	}
	assert.Equal(t, Known, third(63))
	assert.Equal(t, Foreign, third(65))
}

// What only a label calls a temperature is none when it goes one way by 0.75 °C in a minute.
func TestALabelledColumnThatClimbs(t *testing.T) {
	after := func(by float64) bool {
		var w warmth
		at, x := time.Unix(0, 0), 22.0
		trusted := false
		for s := range 75 {
			if s > 60 {
				x += by / 14
			}
			trusted = w.take(at.Add(time.Duration(s)*time.Second), x, true)
		}
		return trusted
	}
	assert.True(t, after(0.7))
	assert.False(t, after(0.8))
}

// Temperatures that come faster than each quarter of a second are thinned out to that.
func TestTemperaturesAreThinnedOut(t *testing.T) {
	var w warmth
	at := time.Unix(0, 0)
	for ms := time.Duration(0); ms <= 300; ms += 100 {
		w.push(at.Add(ms*time.Millisecond), 22)
	}
	assert.Len(t, w.ring, 3)
	assert.Equal(t, 200*time.Millisecond, w.ring[1].at.Sub(at))
}
