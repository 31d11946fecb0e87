package tui_test

import (
	"testing"

	"example.org/halfdrop/meter/run/view"
	"github.com/stretchr/testify/assert"
)

// TestBell: it rings at what a person must not miss, and always when it asks
// whether an order was given.
func TestBell(t *testing.T) {
	changed := advising(97)
	changed.Was = 101
	for _, c := range []struct {
		name     string
		old, now view.View
		on       bool
		want     int
	}{
		{"an order", waiting(), advising(6), true, 1},
		{"the bell is off", waiting(), advising(6), false, 0},
		{"a changed order", advising(101), changed, true, 1},
		{"the same order", advising(6), advising(6), true, 0},
		{"drops begin to fall", advising(6), falling(6, false), true, 0},
		{"nobody has said so", falling(6, false), falling(6, true), false, 1},
		{"once", falling(6, true), falling(6, true), false, 0},
	} {
		rung := 0
		b := ringing(t, c.old, c.on, func() { rung++ })
		b.show(c.now)
		assert.Equal(t, c.want, rung, c.name)
	}
}
