package tui

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/view"
)

func TestVoice(t *testing.T) {
	var said []string
	o := voice{say: func(s string) { said = append(said, s) }}
	v := view.View{Titrant: "NaOH 1 M", HasReading: true}
	v.Advice = coach.Advice{Do: coach.Add, Drops: 6, Volume: 0.3 * chem.Millilitre}
	for range 3 {
		o.hear(v) // readings go on; the sentence is the same
	}
	v.Advice.Drops = 4
	o.hear(v)
	v.Alarm = "the disk is full\x1b]0;x\a"
	o.hear(v)
	v.Advice = coach.Advice{Do: coach.Wait, Reason: coach.Settling}
	o.hear(v)
	o.hear(v)
	assert.Equal(t, []string{"ADD 6 drops of NaOH 1 M", "ADD 4 drops of NaOH 1 M",
		"ALARM: the disk is full]0;x", "WAIT for the reading to settle"}, said)
	(&voice{}).hear(v) // nobody is there
}
