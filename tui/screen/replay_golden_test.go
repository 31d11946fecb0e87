package screen_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// replays are moments of a run that is looked back on. Their words are as long
// as those of a real review.
func replays() map[string]screen.Replay {
	keys := []keyrow.Key{{Name: "Space", Short: "play", Does: "play or pause"}, {Name: "→ n", Short: "next", Does: "to the next addition: what was advised, and what was done"},
		{Name: "← p", Short: "back", Does: "to the addition before"}, {Name: "?", Short: "keys", Does: "all keys"}, {Name: "q", Short: "leave", Does: "leave; the journal is as it was"},
		{Name: "w", Short: "why", Does: "the whole explanation, or the curve, where there is no room for both"}, {Name: "o", Short: "overshoot", Does: "to the next place where the run went past its aim"},
		{Name: "+ -", Short: "speed", Does: "play faster or slower"}, {Name: ", .", Short: "5 s", Does: "five seconds back or on; PgUp and PgDn a minute"},
		{Name: "g", Short: "go to", Does: "go to a time: 90, 1:30 or 1:02:03"}, {Name: "Home", Does: "to the beginning; End to the end"}}
	moment := func(of sample) screen.Replay {
		of.st.Keys, of.st.Message, of.st.Said = keys, "", ""
		return screen.Replay{State: of.st, Seconds: 902, Speed: 10, Marks: []screen.ReplayMark{{T: 42}, {T: 96}, {T: 171}, {T: 231, Over: true}, {T: 640}}}
	}
	all := samples()
	step, over, playing := moment(all[2]), moment(all[8]), moment(all[1])
	step.Done = "addition 3: 18 drops of NaOH 1 M; advised: add 6 drops of NaOH 1 M; withdrawn later"
	over.Done = "addition 4: 24 drops of NaOH 1 M; advised: add 6 drops of NaOH 1 M"
	over.Story = "Past the aim: 24 drops of NaOH 1 M went in while the reading was still on its way up, at 7.05 with 7.12 to come. " +
		"The coach had advised 6 drops, to land at 7.16; 24 drops were expected to land at 7.31, 0.12 past the aim. " +
		"On what was known then 8 drops would have been safe, and then NaOH 0.1 M for the last steps."
	playing.Playing = true
	whole, help := over, step
	whole.Whole = true
	help.Help = keys
	return map[string]screen.Replay{"step": step, "over": over, "whole": whole, "playing": playing, "help": help}
}

func TestReplay(t *testing.T) {
	for _, name := range []string{"step", "over", "whole", "playing", "help"} {
		screentest.Goldens(t, name, func(w, h int) string { return screen.Replayed(replays()[name], w, h) })
	}
}

// TestReplayAnySize: no size at all breaks the screen, and with ASCII nothing
// else is drawn.
func TestReplayAnySize(t *testing.T) {
	for name, r := range replays() {
		screentest.AnySize(t, name, func(set *widget.Set, w, h int) string {
			r.Set = set
			return screen.Replayed(r, w, h)
		})
	}
}

// TestReplayHelp: looking back has a help of its own. Nothing of it is cut at
// the smallest full size, and nothing goes on meanwhile.
func TestReplayHelp(t *testing.T) {
	r := replays()["help"]
	out := strings.Join(strings.Fields(screen.Replayed(r, 60, 20)), " ")
	for _, k := range r.Help {
		assert.Contains(t, out, k.Name+" "+k.Does)
	}
	assert.Contains(t, out, "Keys for looking back")
	assert.NotContains(t, out, "gone on meanwhile")
	assert.NotContains(t, out, "…")
}

// TestReplayWhole: a story that is wanted whole is whole at 60 columns, and the
// keys that matter are named there.
func TestReplayWhole(t *testing.T) {
	r := replays()["whole"]
	out := screen.Replayed(r, 60, 20)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), r.Story)
	for _, key := range []string{"w why", "? keys", "q leave"} {
		assert.Contains(t, out, key)
	}
}

// TestReplayDeed: what was done and what was advised is whole at 60 columns.
func TestReplayDeed(t *testing.T) {
	r := replays()["step"]
	out := strings.Join(strings.Fields(screen.Replayed(r, 60, 20)), " ")
	assert.Contains(t, out, r.Done)
}
