package lesson

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/tui"
)

// In a run with a fault to be found, naming it rightly puts it right.
func TestNamingPutsRight(t *testing.T) {
	e, err := practice.Find("mussel-tank")
	require.NoError(t, err)
	s, err := (&Lesson{}).sitting(e).stand()
	require.NoError(t, err)
	p := s.practice()
	require.NotEmpty(t, p.Faults)
	for row, want := range map[int]string{0: "right", 1: "no"} { // unstirred, zones
		s, err = (&Lesson{}).sitting(e).stand()
		require.NoError(t, err)
		in, over := s.practice().Name(row, tui.Evidence{At: 12, Way: 1})
		assert.False(t, over)
		assert.True(t, strings.HasPrefix(in.Text, want), in.Text)
		assert.Equal(t, row != 0, s.bench.Ails("unstirred"))
	}
	assert.True(t, p.Pause())
	assert.False(t, p.Pause())
}

// In every exercise in which a fault is to be found, naming one rightly says whether it has
// been put right, and how it would be; once all are named, a run that has a buffer to finish
// says so.
func TestEveryFaultThatIsNamed(t *testing.T) {
	all, err := practice.Exercises()
	require.NoError(t, err)
	kinds := slices.DeleteFunc(sim.Faults(), func(k sim.FaultKind) bool { return k.Person })
	for _, e := range all {
		s, err := (&Lesson{}).sitting(e).stand()
		require.NoError(t, err)
		p := s.practice()
		if !e.Find {
			assert.Empty(t, p.Faults, e.Name)
			assert.Nil(t, p.Name, "nothing is asked for in %s", e.Name)
			continue
		}
		require.Len(t, p.Faults, len(kinds), e.Name)
		assert.Empty(t, p.Now(), "%s: nothing is named yet", e.Name)
		named := 0
		for row, k := range kinds {
			before := s.bench.Ails(k.Name)
			in, _ := p.Name(row, tui.Evidence{At: 1, Way: -1})
			want := "no, it is not that: " + k.Title
			switch {
			case e.Has(k.Name) && before && !s.bench.Ails(k.Name):
				want, named = "right, "+k.Title+": it has been put right, carry on", named+1
			case e.Has(k.Name) && k.Mends:
				want, named = "right, "+k.Title, named+1
			case e.Has(k.Name):
				want, named = "right, "+k.Title+": "+k.Cure, named+1
			}
			assert.Equal(t, want, in.Text, e.Name)
			assert.Equal(t, named == len(e.Faults) && e.Finishes(), p.Now() != "", "%s, %d of %d named", e.Name, named, len(e.Faults))
		}
	}
}
