package session_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/intent"
)

// TestPlentyIsTakenAtItsWord: who has given several times what was ordered is not asked
// whether that was meant, as long as it is no slip of a finger on the keys, which makes ten
// times as much of it or more.
func TestPlentyIsTakenAtItsWord(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		v := l.after(60 * time.Second)
		require.Equal(t, coach.Add, v.Advice.Do)
		l.Post(intent.Intent{ID: 1, Titrant: v.Titrant, Drops: 8.5 * v.Advice.Drops})
		v = l.after(time.Second)
		require.Len(t, v.Entries, 1, "%+v", v.Answers)
		for _, a := range v.Answers {
			assert.False(t, a.Asks, a.Text)
		}
	})
}
