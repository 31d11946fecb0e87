package dip

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"example.org/halfdrop/meter/calib/calibtest"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/shelf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func names(list []walk.Choice) string {
	var out []string
	for _, ch := range list {
		name := ch.Standard.Name
		if ch.Check {
			name += "?"
		}
		out = append(out, name)
	}
	return strings.Join(out, " ")
}

func TestCalibrateChoices(t *testing.T) {
	plan, err := planfile.Decode("demo", planfile.Demo) // its aim is about pH 7.3 at the bench
	require.NoError(t, err)
	for _, tc := range []struct {
		c    Wanted
		want string
		why  string
	}{
		{Wanted{Target: math.NaN()}, "7.00 4.01 10.01", "no aim is known"},
		{Wanted{Target: 5}, "7.00 4.01", "on both sides of the target, pH 5.00"},
		{Wanted{Target: 8.5, Check: "9.21"}, "7.00 10.01 9.21?", "on both sides"},
		{Wanted{Target: 2}, "7.00 4.01", "lies outside of them"},
		{Wanted{Target: math.NaN(), Plan: &plan}, "7.00 10.01", "on both sides of the aim of the plan, pH 7.3"},
		{Wanted{Target: 8.5, Set: "primary"}, "6.86 9.18", "on both sides"},
		{Wanted{Standards: []string{"4.01", "7.00"}, Lots: map[string]string{"7": "A12"}}, "4.01 7.00", ""},
	} {
		if tc.c.Set == "" {
			tc.c.Set = string(standards.Technical)
		}
		list, why, err := tc.c.Choices()
		require.NoError(t, err, tc.want)
		assert.Equal(t, tc.want, names(list))
		assert.Contains(t, why, tc.why)
		for _, ch := range list {
			if tc.c.Lots != nil && ch.Standard.Name == "7.00" {
				assert.Equal(t, "A12", ch.Lot)
			} else {
				assert.Empty(t, ch.Lot)
			}
		}
	}
}

// The tolerance of the plan decides how long a standard is looked at.
func TestCalibrateForATolerance(t *testing.T) {
	for text, want := range map[string]float64{"tolerance = 0.01": 0.01, "": 0.05} { // 0.05 is the usual one
		made := "[target]\nph = 7.4\n" + text + "\n[beaker]\nstart_ml = 80\nfinal_ml = 100\n[[weighed]]\nreagent = \"MOPS\"\nmmol = 5\n[[titrant]]\nname = \"NaOH 1 M\"\nreagent = \"NaOH\"\nmolar = 1.0\n"
		plan, err := planfile.Decode("p.toml", []byte(made))
		require.NoError(t, err)
		c := Wanted{Target: math.NaN(), Set: string(standards.Technical), Standards: []string{"7.00", "4.01"}, Plan: &plan}
		_, _, err = c.Choices()
		require.NoError(t, err)
		assert.Equal(t, want, c.Tolerance())
	}
	assert.Zero(t, (&Wanted{}).Tolerance())
}

// The history has its own file in the data folder, beside the runs.
func TestCalibrateHistoryPath(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	path, err := (&Keeping{}).historyPath()
	require.NoError(t, err)
	assert.Equal(t, "calibrations.jsonl", filepath.Base(path))
	assert.Equal(t, "halfdrop", filepath.Base(filepath.Dir(path)))
}

// A poor electrode is one, and a reason lets it through.
func TestCalibrateAccept(t *testing.T) {
	for reason, want := range map[string]bool{"": false, "only this one is left": true} {
		c := &both{Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}, Keeping{File: filepath.Join(t.TempDir(), "history.jsonl"), Accept: reason}, false}
		h := byHand(t, c)
		poor := calibtest.Aged("E7", 0, 80)
		err := c.Conclude(h.Rig, c.Insist(poor))
		assert.Equal(t, want, err == nil)
		if err != nil {
			assert.Equal(t, remedy.Missed, tell(&h.talk, err))
		}
		kept, err := shelf.LoadHistory(c.File)
		require.NoError(t, err)
		require.Len(t, kept.List, 1)
		assert.Equal(t, want, kept.List[0].Usable())
	}
}
