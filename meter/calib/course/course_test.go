package course_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/calib/course"
)

// singly are readings two seconds apart, a bin each.
func singly(ys ...float64) (out []course.Sample) {
	for i, y := range ys {
		out = append(out, course.Sample{T: 2 * float64(i), Y: y})
	}
	return out
}

// A spike is left out up to the last but one; a step near the end is none, for it stays.
func TestSpikeAndStepAtTheEnd(t *testing.T) {
	assert.Len(t, course.Binned(singly(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 50, 0)), 11)
	assert.Len(t, course.Binned(singly(0, 0, 0, 0, 0, 0, 0, 0, 0, 50, 50, 50)), 12)
}

// A dip is fitted from three bins on.
func TestADipOfThreeBins(t *testing.T) {
	for n, want := range map[int]bool{2: false, 3: true} {
		_, ok := course.Joint([]course.Dip{{Bins: course.Binned(singly(10, 5, 3)[:n]), Step: 0.1}})
		assert.Equal(t, want, ok, "%d", n)
	}
}
