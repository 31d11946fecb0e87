package dip

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/tui/widget"
)

// TestResultIsBrokenBetweenWords: no line of a result is wider than a terminal of 80
// columns, so that none breaks within a word, and nothing of it is lost.
func TestResultIsBrokenBetweenWords(t *testing.T) {
	mv := -179.94
	long := strings.Repeat("slope and offset of the electrode ", 8)
	c := calib.Calibration{Points: []calib.Point{{Standard: "10.01", Set: standards.Technical, PH: 10.05, TempC: 21, MV: &mv}},
		Findings: []calib.Finding{{Level: calib.Pass, Text: long, Basis: long}}, Override: long}
	var out strings.Builder
	ShowResult(&out, c)
	for line := range strings.Lines(out.String()) {
		assert.LessOrEqual(t, widget.Width(strings.TrimSuffix(line, "\n")), resultWidth, line)
	}
	assert.Equal(t, 3*8, strings.Count(strings.Join(strings.Fields(out.String()), " "), "slope and offset of the electrode"))
	assert.Contains(t, strings.Join(strings.Fields(out.String()), " "), "10.01 pH 10.050 at 21.0 °C, -179.9 mV (")
}

// What is kept says with which flags a titration goes by it: without the name of the
// electrode it goes by none, and that was told only when the run was over.
func TestKeptSaysWhatGoesByIt(t *testing.T) {
	file := filepath.Join(t.TempDir(), "h.jsonl")
	good := calib.Calibration{Format: calib.Format, Electrode: "my E7", Verdict: calib.Accepted, Sends: calib.SendsMV, SlopePct: 98}
	var talk bytes.Buffer
	require.NoError(t, (&Keeping{Electrode: "my E7", File: file}).keep(&talk, good))
	assert.Contains(t, talk.String(), `halfdrop titrate --electrode 'my E7' --calibrations `+file+" goes by it\n")
	assert.Contains(t, talk.String(), "halfdrop: accepted; kept in "+file+"\n", "the verdict stands at the end too: the first line of the result had left a screen of 24 rows")
	talk.Reset()
	good.Verdict = calib.Refused
	require.NoError(t, (&Keeping{Electrode: "my E7", File: file}).keep(&talk, good))
	assert.NotContains(t, talk.String(), "goes by it")
	assert.Contains(t, talk.String(), "halfdrop: not accepted; kept in ")
	talk.Reset()
	good.Override = "the only one there is"
	require.NoError(t, (&Keeping{Electrode: "my E7", File: file}).keep(&talk, good))
	assert.Contains(t, talk.String(), "halfdrop: not accepted, used all the same; kept in ")
}
