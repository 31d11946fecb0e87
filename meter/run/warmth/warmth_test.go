package warmth

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
)

// What a meter sends counts until it has sent nothing for ten seconds, which is said; what
// no beaker on a bench has does not, nor what was set and not measured.
func TestThermometer(t *testing.T) {
	w := Unread()
	assert.False(t, w.Measured(0))
	assert.Equal(t, Passed, w.Take(1, 90, 25), "no beaker on a bench")
	assert.Equal(t, First, w.Take(2, 22, 25))
	assert.Equal(t, Later, w.Take(3, 23, 25))
	sent, ok := w.Sent()
	assert.True(t, ok)
	assert.InDelta(t, 22.2, sent, 1e-9, "a fifth of the way to the latest")
	assert.True(t, w.Measured(13))
	assert.Empty(t, w.Words(13, 25, 22))
	assert.False(t, w.Measured(13.1))
	assert.Contains(t, w.Words(13.1, 25, 22), "22.2 °C is kept")
	w.Elsewhere(14)
	assert.True(t, w.Measured(20), "that of a standard shows that the meter sends them")

	w = Unread()
	for i := range 20 {
		w.Take(float64(i), 25, 19)
	}
	assert.Equal(t, Unsaid, w.Take(20, 25, 19))
	_, ok = w.Sent()
	assert.False(t, ok)
	assert.Equal(t, Passed, w.Take(21, 25, 19))
	assert.Contains(t, w.Words(21, 19, 19), "19.0 °C is used")
	w.Tell()
	assert.True(t, w.Measured(21))
	assert.Empty(t, w.Words(21, 19, 21))
}

// A beaker of Tris (−0.028 a degree, CRC Handbook) that warms by a degree reads 0.028 less,
// and the tracker is told what it read before; on a bench computed a degree warmer its
// estimates are those of now.
func TestShift(t *testing.T) {
	var w Shift
	assert.Equal(t, 8.1, w.Plainly(8.1, 1), "nobody knows the slope")
	w.Slopes(-0.028, 0, 0)
	assert.InDelta(t, 8.1, w.Plainly(8.072, 1), 1e-9)
	assert.InDelta(t, -0.028, w.Carry(1), 1e-12)
	w.Forget()
	assert.False(t, w.Knows(0))
	assert.InDelta(t, 8.1, w.Plainly(8.072, 0), 1e-9)
	est := probe.Estimate{End: 8.1, Now: 8.1}
	assert.InDelta(t, 8.072, w.Here(est).End, 1e-9)
	assert.InDelta(t, 8.1, w.There(w.Here(est)).Now, 1e-9)
	assert.InDelta(t, 8.072, w.Since(est).End, 1e-9)
	w.Given()
	assert.InDelta(t, 8.1, w.Since(est).End, 1e-9)
	// A slope that turns out to be another moves nothing that is read now.
	w.Slopes(-0.028, 0, 1)
	before := w.Plainly(8.03, 0.4)
	w.Slopes(-0.015, 0.4, 2)
	assert.InDelta(t, before, w.Plainly(8.03, 0.4), 1e-12)
}
