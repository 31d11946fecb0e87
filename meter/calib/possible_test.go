package calib_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/calib"
)

// An old electrode with three quarters of the Nernst slope and 90 mV beside zero, which is 1.5 pH, is one
// that somebody with a reason may want to work with. With less than 30 mV a pH, half of it, or more
// than can be, or 150 mV beside zero, there is no line whatever the reason: it is a wrong standard, a
// wrong unit or a broken electrode.
func TestWhatIsNoLineWhateverTheReason(t *testing.T) {
	for _, c := range []struct {
		slope, offset float64
		line          bool
	}{
		{100, 0, true}, {75, 90, true}, {75, -90, true}, {115, 0, true}, {50, 0, false}, {35, 0, false},
		{150, 0, false}, {240, 0, false}, {100, 150, false}, {100, -200, false}, {-100, 0, false},
	} {
		got := calib.Calibration{SlopePct: c.slope, OffsetMV: c.offset, Verdict: calib.Refused, Override: "the only one there is"}
		assert.Equal(t, c.line, got.Possible(), "%+v", c)
		assert.Equal(t, c.line, got.Usable(), "%+v", c)
	}
}
