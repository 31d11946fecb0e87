package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
)

// Quick hands put an addition on record while the reading has left where it was, which is
// believed some seconds later only: until then nothing is said of where it will end. "WAIT to
// 4.784 ± 0.061" stood beside a reading of 5.43. What its spread allows is no such thing, nor what comes later.
func TestAnEstimateThatTheReadingHasLeft(t *testing.T) {
	for _, c := range []struct {
		by, late float64
		early    bool
	}{{1.2, 0, true}, {0.5, 0, true}, {0.2, 0, false}, {1.2, 4, true}, {1.2, 10, false}} {
		b, _ := after(t)
		was := b.keep.Look(b.sec)
		require.Equal(t, coach.Add, was.Advice.Do)
		b.add(was.Titrant, 1) // one drop, of which nothing is to be seen
		b.sec += c.late
		v := b.reading(b.keep.Look(b.sec).Settling.Now - c.by)
		assert.Equal(t, c.early, v.Why() == "too early to say where the reading will end", "%+v: %s", c, v.Why())
	}
}
