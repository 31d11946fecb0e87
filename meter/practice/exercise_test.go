package practice_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/practice"
)

func TestBuiltInExercises(t *testing.T) {
	all, err := practice.Exercises()
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(all), 12)
	faults, names := 0, map[string]bool{}
	for i, e := range all {
		assert.False(t, names[e.Name], "%s twice", e.Name)
		names[e.Name] = true
		if e.Find {
			faults++
		}
		if i > 0 {
			assert.GreaterOrEqual(t, e.Level, all[i-1].Level, "graded")
		}
		assert.NotEmpty(t, e.Notes, "%s: the teacher wants notes", e.Name)
		_, err := practice.Find(e.Name)
		assert.NoError(t, err)
	}
	assert.Equal(t, 4, faults)
	_, err = practice.Find("nothing")
	assert.ErrorIs(t, err, practice.ErrNone)
}

// Whatever the seed, who knows the bench can finish what is to be finished.
func TestExercisesCanBeDone(t *testing.T) {
	all, err := practice.Exercises()
	require.NoError(t, err)
	for _, e := range all {
		if !e.Finishes() {
			continue
		}
		for seed := range uint64(12) {
			b, s, err := e.NewBench(seed + 1)
			require.NoError(t, err)
			room, least := (s.Final - s.Start).Litres(), math.Inf(1)
			for _, st := range s.Stocks {
				if n := b.Need(st.Name, s.Target); n < least {
					least = n
				}
			}
			assert.Less(t, least, room, "%s, seed %d", e.Name, seed+1)
			assert.Greater(t, math.Abs(b.Real()-s.Target), s.Tolerance, "%s, seed %d: it is there already", e.Name, seed+1)
		}
	}
}

func text(t *testing.T) string {
	t.Helper()
	b, err := practice.Find("first-buffer")
	require.NoError(t, err)
	return string(b.Text)
}

// Every mistake of a teacher is answered with the line and column where it stands.
func TestMistakesInAFileAreNamedWithTheirPlace(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"level = 1", "levle = 1", `x.toml:4:1: unknown key "levle"`},
		{"level = 1", "level = 9", "x.toml:4:1: level: 1 to 5 is wanted, not 9"},
		{"level = 1", `level = "one"`, "x.toml:4:9: "},
		{`coach = "full"`, `coach = "some"`, `x.toml:5:1: coach: full, ask or off is wanted, not "some"`},
		{`coach = "full"`, "", "coach: missing"},
		{"ph = 7.2", "ph = 77", "x.toml:30:1: plan.target.ph: 77 is outside 1–13"},
		{"ph = 7.2", "ph = nan", "plan.target.ph: "},
		{`reagent = "MOPS"`, `reagent = "MOSP"`, "x.toml:40:1: plan.weighed[1].reagent: "},
		{"molar = 0.1\ndrop_ul = 50\n\n[[plan.titrant]]", "molar = -2\n\n[[plan.titrant]]", "x.toml:52:1: plan.titrant[2].molar: "},
		{"[plan]", "[[fault]]\nname = \"gremlin\"\n[plan]", `x.toml:27:1: fault[1].name: no fault is called "gremlin"`},
		{"[plan]", "[[fault]]\nname = \"cap\"\nstrength = 40\n[plan]", "x.toml:28:1: fault[1].strength: 40 is outside 0 to 10"},
		{"[plan]", "[bench]\ntau_s = -1\n[plan]", "x.toml:27:1: bench.tau_s: -1 is outside 0 to 300"},
		{"[plan]", "[[given]]\ntitrant = \"lye\"\ndrops = 3\n[plan]", `no such bottle on the bench: "lye"`},
		{"[plan]", "[calibrate]\nchoices = [[\"7.00\", \"5.55\"]]\n[plan]", "x.toml:27:1: calibrate.choices: "},
		{"level = 1", "level = 1\nfind = true", "x.toml:5:1: find: there is no [[fault]] to be found"},
		{"level = 1", "level = = 1", "x.toml:4:"},
	} {
		src := text(t)
		require.Contains(t, src, c.old)
		_, err := practice.Decode("x.toml", []byte(strings.Replace(src, c.old, c.new, 1)))
		require.Error(t, err, c.new)
		assert.Contains(t, err.Error(), c.want, c.new)
		var at *practice.FileError
		require.ErrorAs(t, err, &at, c.new)
		assert.True(t, at.Line > 0 && at.Col > 0, c.new)
	}
}

// An unknown key is answered with the keys that there are at its place.
func TestWhatToTry(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"level = 1", "levle = 1", "level"},
		{"ph = 7.2", "pH_ = 7.2", "tolerance"},
		{"[plan]", "[[fault]]\nonset = 3\n[plan]", "onset_s"},
		{"level = 1", "level = 7", "1 is the easiest"},
	} {
		_, err := practice.Decode("x.toml", []byte(strings.Replace(text(t), c.old, c.new, 1)))
		var at *practice.FileError
		require.ErrorAs(t, err, &at, c.new)
		assert.Contains(t, at.Try, c.want, c.new)
	}
}

func TestOwnSeed(t *testing.T) {
	assert.NotEqual(t, practice.OwnSeed("bench 1"), practice.OwnSeed("bench 2"))
	assert.Equal(t, practice.OwnSeed("bench 1"), practice.OwnSeed("bench 1"))
}
