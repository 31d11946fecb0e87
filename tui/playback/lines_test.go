package playback_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/tui/playback"
	_ "example.org/halfdrop/tui/screen/screentest" // no colours
	"example.org/halfdrop/tui/terminal"
)

// lined is what is printed when lines are typed, and whether any counted.
func lined(t *testing.T, log bool, lines ...string) (string, bool) {
	t.Helper()
	var out bytes.Buffer
	in := strings.NewReader(strings.Join(lines, "\n"))
	typed, err := false, error(nil)
	if log {
		typed, err = playback.PlainReplayLog(t.Context(), (&shelf{}).read, in, &out, terminal.Options{})
	} else {
		typed, err = playback.PlainReplay(t.Context(), &reel{}, in, &out, terminal.Options{})
	}
	require.NoError(t, err)
	return out.String(), typed
}

// What the keys of the screen do with a run, words do in lines.
func TestReplayInLines(t *testing.T) {
	out, typed := lined(t, false)
	assert.False(t, typed, "nobody is there")
	assert.Contains(t, out, "10:00, 3 moments to stop at, 1 of them past the aim")
	for typed, want := range map[string]string{
		"n": "At 0:40: ", "n;;n": "At 5:00: ", "n;n;b": "At 0:40: ", "o": "At 2:10: ", "end": "At 10:00: ", "0": "At 0:00: ", "1:30": "At 1:30: ",
		"n;n;n;n": "No addition after this.", "soon": `"soon" is not a word known here`, "l": "2:10 addition 2: 30 drops of acid", "?": "to that time",
	} {
		out, _ := lined(t, false, strings.Split(typed, ";")...)
		last := strings.Split(strings.TrimSpace(out), "\n")
		assert.Contains(t, strings.Join(last[max(0, len(last)-7):], "\n"), want, typed)
	}
	out, _ = lined(t, false, "o", "q", "n")
	assert.Contains(t, out, "Addition 2: 30 drops of acid; advised: add 9 drops of acid.\nPast the aim: At 2:10 addition 2 went too far, because it was large.\n")
	assert.NotContains(t, out, "At 5:00", "after q nothing is read")
}

// A log is asked about, corrected and stepped through in lines, too.
func TestLogInLines(t *testing.T) {
	out, typed := lined(t, true)
	assert.False(t, typed)
	assert.Contains(t, out, `Column 2, "a": not used`)
	assert.Contains(t, out, "Open: several columns may be the pH: a, b.")
	for typed, want := range map[string]string{
		"n": "First what is open", "ph 2;n": "Reading 1 of 30: 0 mL.", "ph 2;12": "Reading 12 of 30: 11 mL.", "ph 2;12;b": "Reading 11 of 30",
		"ph 2;31": "There is no reading there", "ph 2;volume is each": "The volume is what was given in each row.", "ph 2;run 2": `Column 1, "mL"`,
		"ph 2;run 3": "the log has 2 runs", "ph 9": "from 1 to 3", "ph 2;volume 3": "Column", "ph 2;none 1": "Column", "ph 2;none 3": "not used as it is",
		"ph 2;what": `"what" is not a word known here`, "?": "what the volume counts", "ph 2;l": "30: 29 mL",
	} {
		out, _ := lined(t, true, strings.Split(typed, ";")...)
		assert.Contains(t, out, want, typed)
	}
}

// o does in lines what it does on the screen.
func TestTheOvershootOfALogInLines(t *testing.T) {
	for over, says := range map[int]string{17: "Reading 17 of 30", 0: "No overshoot was found."} {
		read := func(playback.LogChoice) (playback.LogPage, error) {
			page, err := (&shelf{}).read(playback.LogChoice{Column: map[string]string{"ph": "2"}})
			page.Aimed, page.Aim, page.Within, page.Over = true, 4.5, 0.05, over
			return page, err
		}
		var out strings.Builder
		_, err := playback.PlainReplayLog(t.Context(), read, strings.NewReader("o\nq\n"), &out, terminal.Options{})
		require.NoError(t, err)
		assert.Contains(t, out.String(), says)
	}
}
