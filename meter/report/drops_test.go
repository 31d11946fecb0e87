package report_test

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/report"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/sim"
)

// The record says of each addition what was ordered, where that was expected to land, and
// what the drops brought: here drops of 65 µL from a dropper of 50, all else as planned.
func TestWhatTheDropsDid(t *testing.T) {
	const larger = 1.3
	p := plan(limpet)
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	truth := sim.DefaultTruth(setup, 5)
	for i := range truth.LnDrop {
		truth.LnDrop[i] = math.Log(larger)
	}
	for i := range truth.LnStrength {
		truth.LnStrength[i] = 0
	}
	truth.LnAmount, truth.Excess, truth.LnVolume, truth.Offset, truth.Slope, truth.PKShift, truth.Scatter, truth.Noise = 0, 0, 0, 0, 0, nil, 0, 0.002
	b, err := sim.New(setup, truth)
	require.NoError(t, err)
	text, err := json.Marshal(p)
	require.NoError(t, err)
	r := &eventful{t: t, sim: b}
	first := journal.Event{At: dawn, Kind: journal.Started, Start: &journal.Start{Format: journal.Format, Program: "halfdrop test", Plan: text, Operator: "bench two", Source: "simulated bench, seed 5"}}
	require.NoError(t, r.Append(&first))
	r.keep, err = keep.NewKeeper(first, r, func(s float64) time.Time { return dawn.Add(time.Duration(s * float64(time.Second))) })
	require.NoError(t, err)
	r.wait(150)
	v := r.keep.Look(r.sec)
	require.Equal(t, "add", v.Advice.Do.String())
	ordered := v.Advice
	r.add(v.Titrant, ordered.Drops, ordered.Drops)
	r.wait(150)
	r.add("NaOH 1 M", 8, 8) // whatever is ordered
	r.wait(150)
	r.add("NaOH 1 M", 3, 3)
	latest, _ := r.keep.State.Latest()
	r.take(journal.Event{Kind: journal.Undone, Undo: &journal.Undo{Seq: latest.Seq, Reason: "keyed for another beaker"}})
	r.wait(100)
	r.take(journal.Event{Kind: journal.Ended, End: &journal.End{Outcome: "ended before the aim"}})

	tape, err := replay.Of(r.Events)
	require.NoError(t, err)
	rec := report.New(tape)
	require.Len(t, rec.Steps, 3)
	for _, s := range rec.Steps[:2] {
		assert.Positive(t, s.Within)
		assert.InDelta(t, larger, s.Response, 3*s.Within+0.03, "addition %d: %.3f ± %.3f", s.N, s.Response, s.Within)
		assert.Greater(t, s.After.PH, s.ByLabel+0.02, "more fell than the label says")
	}
	ph, low, high, was := rec.Steps[0].Expected()
	assert.True(t, was)
	assert.InDelta(t, ordered.After, ph, 1e-3)
	assert.InDelta(t, ordered.Low, low, 1e-3)
	assert.InDelta(t, ordered.High, high, 1e-3)
	_, _, _, was = rec.Steps[1].Expected()
	assert.False(t, was, "8 drops were not what was ordered")

	var page bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	for _, words := range []string{`<th class="r">expected</th>`, `<th class="r">charge / label</th>`, " label</td>"} {
		assert.Contains(t, page.String(), words)
	}
}
