package session_test

import (
	"math"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/intent"
)

// On the simulated bench the session moves the electrode; journal and replay of it
// agree, and the verdict is on record once.
func TestACheckAtTheSimulatedPlate(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		l.after(60 * time.Second)
		l.Post(intent.Intent{Kind: intent.Check, Code: journal.StepOut, Text: "7.00"})
		v := l.after(5 * time.Second)
		require.NotNil(t, v.Away)
		assert.InDelta(t, 5.8, l.after(180*time.Second).PH, 0.4, "water with the carbon dioxide of the air in it")
		l.Post(intent.Intent{Kind: intent.Check, Code: journal.StepIn})
		v = l.after(150 * time.Second)
		require.NotNil(t, v.Away.Verdict, v.Sentence())
		assert.Less(t, math.Abs(v.Away.Verdict.Shift), 0.2, "the meter of the bench is off by little")
		assert.Len(t, l.kinds(journal.Checked), 1)
		l.Post(intent.Intent{Kind: intent.Immersed})
		v = l.after(60 * time.Second)
		assert.Nil(t, v.Away)
		assert.Equal(t, coach.Add, v.Advice.Do, v.Sentence())
	})
}
