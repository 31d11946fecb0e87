package station

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/sim"
)

// demoStation is the built-in plan on a bench, ready for typing.
func demoStation(t *testing.T, speed float64) *Station {
	t.Helper()
	plan, err := planfile.Decode("built-in plan", planfile.Demo)
	require.NoError(t, err)
	st, err := New(Of{Plan: plan, Sends: sim.SendPH, Seed: 3, Speed: speed})
	require.NoError(t, err)
	return st
}

func TestStationTyping(t *testing.T) {
	st := demoStation(t, 1)
	for _, tc := range []struct{ typed, said string }{
		{"3", "not done: of which bottle? NaOH 1 M · NaOH 0.1 M · HCl 0.1 M"},
		{"undo", "not done: nothing has been added"},
		{"6 NaOH 1 M", "6 drops of NaOH 1 M in the beaker"},
		{"1 drop of naoh 0.1", "1 drop of NaOH 0.1 M in the beaker"},
		{"2", "2 drops of NaOH 0.1 M in the beaker"},
		{"0,5 mL hcl", "0.5 mL of HCl 0.1 M in the beaker"},
		{"250 µL HCl 0.1 M", "0.25 mL of HCl 0.1 M in the beaker"},
		{"undo", "0.25 mL of HCl 0.1 M taken out again"},
		{"0.5 HCl", "0.5 drops of HCl 0.1 M in the beaker"},
		{"2 NaOH", `not done: "NaOH" could be NaOH 1 M or NaOH 0.1 M`},
		{"2 KOH", `not done: there is no bottle "KOH"; there are NaOH 1 M · NaOH 0.1 M · HCl 0.1 M`},
		{"-2 HCl", "not done: the amount must be above zero"},
		{"NaN HCl", "not done: the amount must be above zero"},
		{"1e9 HCl", "not done: more than the beaker would hold"},
		{"six HCl", "not done: type an amount and a bottle, such as 6 NaOH 1 M, or ? for help"},
		{"into 7.00", "the electrode is in 7.00, pH 7.02 at 21.0 °C"},
		{"into 5", "not done: no such standard"},
		{"1 HCl", "1 drop of HCl 0.1 M in the beaker; the electrode is elsewhere"},
		{"rinse", "the electrode is being rinsed"},
		{"back", "the electrode is in the beaker"},
		{"into beaker", "the electrode is in the beaker"},
		{"?", "into 7.00 the electrode into a standard"},
		{"f", "unstirred      the stirrer has stopped"},
		{"f 1", "from now on: the stirrer has stopped"},
		{"f", " * 1  unstirred"},
		{"m unstirred", "put right: the stirrer has stopped"},
		{"m 1", "not done: the stirrer has stopped is not active"},
		{"f wrong_salt", "not done: the other form of the buffer was weighed cannot start during a run"},
		{"f gremlin", `not done: no fault is called "gremlin"`},
	} {
		var out, talk bytes.Buffer
		require.False(t, st.do(tc.typed, &out, &talk), tc.typed)
		assert.Contains(t, talk.String(), tc.said, tc.typed)
	}
	var out, talk bytes.Buffer
	st.do("pH", &out, &talk)
	assert.Regexp(t, `^pH -?\d+\.\d+ 21\.0 C\n$`, out.String())
	assert.True(t, st.do(" Q ", &out, &talk))
	assert.False(t, st.do("", &out, &talk))
}

// What was taken out again leaves the beaker as it was.
func TestStationUndo(t *testing.T) {
	st := demoStation(t, 1)
	before := st.Bench.True()
	var b bytes.Buffer
	st.do("20 NaOH 1 M", &b, &b)
	require.Greater(t, st.Bench.True(), before+0.1)
	st.do("undo", &b, &b)
	assert.InDelta(t, before, st.Bench.True(), 1e-9)
}

// The bench of an exercise: its hidden truth, its plan without it, and the faults in it.
func TestStationOfAnExercise(t *testing.T) {
	x, err := practice.Find("11")
	require.NoError(t, err)
	require.Equal(t, "reef-hut", x.Name)
	st, err := New(Of{Plan: x.Plan, Exercise: x, Sends: sim.SendPH, Speed: 1})
	require.NoError(t, err)
	assert.Equal(t, x.Seed, st.Seed)
	assert.True(t, st.Bench.Ails("cracked"))
	text, err := PupilPlan(x)
	require.NoError(t, err)
	p, err := planfile.Decode("pupil.toml", text)
	require.NoError(t, err)
	assert.Equal(t, *x.Plan.Target.PH, *p.Target.PH)
	assert.NotContains(t, string(text), "cracked")
}
