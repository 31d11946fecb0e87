package main

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"example.org/halfdrop/meter/remedy"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// runTrial runs halfdrop trial with the arguments.
func runTrial(args ...string) (out, talk string, err error) {
	var o, e bytes.Buffer
	cmd := newTrialCommand()
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	cmd.SetOut(&o)
	cmd.SetErr(&e)
	cmd.SetArgs(args)
	err = cmd.Execute()
	return o.String(), e.String(), err
}

func TestTrialPrintsATableAndNoBarIntoAPipe(t *testing.T) {
	out, talk, err := runTrial("--runs", "6", "--strategies", "slope,limit", "--seed", "9")
	require.NoError(t, err)
	assert.Contains(t, out, "6 ordinary benches, seeds 9 to 14")
	assert.Contains(t, out, "70 % of the local slope")
	assert.Empty(t, talk)
	again, _, err := runTrial("--runs", "6", "--strategies", "slope,limit", "--seed", "9", "--workers", "1")
	require.NoError(t, err)
	assert.Equal(t, out, again)
}

func TestTrialCSV(t *testing.T) {
	out, _, err := runTrial("--runs", "4", "--strategies", "limit", "--tier", "harsh", "--csv")
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 2)
	assert.Equal(t, []string{"limit", "harsh", "1", "4"}, rows[1][:4])
}

func TestTrialTellsAStory(t *testing.T) {
	out, _, err := runTrial("--story", "3", "--strategies", "limit")
	require.NoError(t, err)
	assert.Contains(t, out, "ordinary bench, seed 3")
	assert.Contains(t, out, ">>> ")
}

func TestTrialRefusesWhatItCannotDo(t *testing.T) {
	for _, args := range [][]string{
		{"--tier", "mild"}, {"--strategies", "luck"}, {"--runs", "0"}, {"--csv", "--json"},
	} {
		_, _, err := runTrial(args...)
		var e *remedy.Error
		require.ErrorAs(t, err, &e, args)
		assert.Equal(t, remedy.Usage, e.Kind, args)
	}
}

func TestProgressLineIsOneWidth(t *testing.T) {
	for _, done := range []int{0, 1, 500, 1000} {
		assert.Equal(t, progressWidth, len([]rune(progressLine(done, 1000))))
	}
}
