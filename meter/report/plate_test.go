package report_test

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/report"
	"example.org/halfdrop/meter/sim"
)

// after is the record of events with some more after them.
func after(t *testing.T, events []journal.Event, more ...journal.Event) *report.Record {
	t.Helper()
	events = slices.Clone(events)
	for _, e := range more {
		last := events[len(events)-1]
		e.Seq, e.T, e.At = last.Seq+1, last.T, last.At
		events = append(events, e)
	}
	r, err := replaytest.Of(events)
	require.NoError(t, err)
	return report.New(r)
}

func label(rec *report.Record) string { return strings.Join(rec.LabelLines(), "\n") }

// An electrode that a check in standards found off, beyond doubt, is on the label too: what
// was read may be within the tolerance, and the solution is not.
func TestLabelCarriesTheShiftOfTheElectrode(t *testing.T) {
	rec := after(t, eventfulRun(t, limpet))
	assert.NotContains(t, label(rec), "electrode")
	off := calib.Verification{Verdict: calib.Refused, Shift: -0.061, ShiftSD: 0.012}
	rec.Verified = []calib.Verification{{Verdict: calib.Accepted, Shift: 0.001, ShiftSD: 0.004}, off}
	assert.Contains(t, label(rec), "the electrode was off by -0.06 ± 0.01 by its check in standards\nwanted ")
	assert.Equal(t, "ELECTRODE OFF", rec.Failed())
	var whole bytes.Buffer
	require.NoError(t, rec.WritePage(&whole))
	assert.Contains(t, whole.String(), "ELECTRODE OFF")
	slices.Reverse(rec.Verified) // it was put right, and checked again
	assert.NotContains(t, label(rec), "electrode")
	rec.Verified = []calib.Verification{off}
	rec.Finished = &report.Finished{PH: 7.20, InAim: true}
	assert.NotContains(t, label(rec), "electrode", "nobody knows with which it was read in the end")
	assert.Empty(t, rec.Failed())
	rec.Finished = nil
	off.Shift, off.ShiftSD = math.NaN(), math.NaN() // the standards read alike
	rec.Verified = []calib.Verification{off}
	assert.Contains(t, label(rec), "the electrode did not stand its check in standards\nwanted ")
}

// The label carries the reading after making up; before there is one it says what
// is expected, and that it was not read. One that is off is written across.
func TestLabelCarriesTheReadingAfterMakingUp(t *testing.T) {
	events := eventfulRun(t, limpet)
	rec := after(t, events)
	assert.Contains(t, label(rec), "expected at 30.0 °C, made up; not read after making up")
	assert.Empty(t, rec.Failed())
	rec.Name = "MOPS 20 mM pH 7.20 at 30 °C"
	var whole bytes.Buffer
	require.NoError(t, rec.WritePage(&whole))
	assert.Contains(t, whole.String(), "<strong>MOPS 20 mM pH 7.20 at 30\u00a0°C</strong>", "on the small label °C is not torn off")

	use, bench := 30.0, 21.0
	rec = after(t, events, journal.Event{Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.21, TempC: &use, By: "bench two"}})
	require.NotNil(t, rec.Finished)
	assert.True(t, rec.Finished.InAim)
	assert.Contains(t, label(rec), "pH 7.21, read after making up, at 30.0 °C")
	assert.NotContains(t, label(rec), "expected")
	assert.Empty(t, rec.Failed())

	rec = after(t, events, journal.Event{Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.21}})
	assert.Contains(t, label(rec), "pH 7.21, read after making up, temperature not noted", "nobody knows whether it was that of use")

	// MOPS falls by about 0.011 a degree (pKa' of Good's buffers, from memory):
	// what is 7.20 at 30 °C reads about 7.31 at 21 °C.
	rec = after(t, events, journal.Event{Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.31, TempC: &bench}})
	assert.InDelta(t, 7.31, rec.Finished.Wanted, 0.02)
	assert.Regexp(t, `pH 7\.20 at 30\.0 °C is 7\.3\d at 21\.0 °C`, label(rec))
	assert.True(t, rec.Finished.InAim)

	rec = after(t, events, journal.Event{Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.31, TempC: &use}})
	assert.Equal(t, "NOT WITHIN TOLERANCE", rec.Failed())
	lines := rec.LabelLines()
	assert.Equal(t, "*** NOT WITHIN TOLERANCE ***", lines[0])
	assert.Equal(t, lines[0], lines[len(lines)-1])
	var page bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	assert.Contains(t, page.String(), `<div class="across">NOT WITHIN TOLERANCE</div>`)
	assert.NotContains(t, page.String(), "%!")
	assert.Contains(t, page.String(), "at 30.0 °C, where 7.20 is wanted")
	assert.Contains(t, strings.Join(rec.Cautions, " "), "The finished solution read 0.11 off")
}

// Names, masses and lots that were noted stand in the record; what was not said is
// left blank for a pen.
func TestNotesStandInTheRecord(t *testing.T) {
	events := eventfulRun(t, limpet)
	note := func(n journal.Note) journal.Event { return journal.Event{Kind: journal.Noted, Note: &n} }
	rec := after(t, events, note(journal.Note{Meter: "M-3", Electrode: "E 12"}), note(journal.Note{Thermometer: "T9", Electrode: "E 14"}),
		note(journal.Note{Weighed: []journal.Weighing{{Reagent: "MOPS", Grams: 1.04715, Lot: "A17"}}, Bottles: []journal.Lot{{Titrant: "NaOH 1 M", Lot: "B2"}}}))
	assert.Equal(t, report.Plate{Operator: "bench two", Meter: "M-3", Electrode: "E 14", Thermometer: "T9"}, rec.Plate)
	assert.Equal(t, 1.04715, rec.Weighed[0].Taken)
	assert.Equal(t, "A17", rec.Weighed[0].Lot)
	assert.Equal(t, "B2", rec.Titrants[0].Lot)
	var page bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	for _, want := range []string{"meter M-3", "electrode E 14", "thermometer T9", `<td class="lot">A17</td><td>1.04715</td>`, `<td class="lot">B2</td>`} {
		assert.Contains(t, page.String(), want)
	}
	assert.Equal(t, []string{"MOPS: 1.04715 g weighed, lot A17, as entered at the bench", "NaOH 1 M: lot B2, as entered at the bench"}, report.Noted(rec), "for the record of an amount")
	b, err := json.Marshal(rec)
	require.NoError(t, err)
	assert.Contains(t, string(b), `"ph_sd":`)
}

// Every printed page says which run it is of, and which page.
func TestPagesAreNumbered(t *testing.T) {
	rec := after(t, eventfulRun(t, limpet))
	var page bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	assert.Contains(t, page.String(), `@bottom-right { content: "page " counter(page) " of " counter(pages)`)
	assert.Contains(t, page.String(), "2031-05-04 · run "+rec.First[:12]+" · sum "+rec.Sum[:12]+"…")
}

// What was weighed counts on the label where it is not what the plan has, and the record
// cautions; a balance that agrees within a per cent says nothing.
func TestAnotherMassIsSaid(t *testing.T) {
	events := eventfulRun(t, limpet)
	note := func(g float64) journal.Event {
		return journal.Event{Kind: journal.Noted, Note: &journal.Note{Weighed: []journal.Weighing{{Reagent: "MOPS", Grams: g}}}}
	}
	plan := after(t, events).Weighed[0].Grams
	rec := after(t, events, note(0.8*plan))
	assert.Contains(t, label(rec), "16 mmol/L MOPS by the mass weighed (20 planned)")
	assert.Contains(t, strings.Join(rec.Cautions, "\n"), "20 % less")
	var page bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	assert.Contains(t, page.String(), "16 mmol/L MOPS by the mass weighed (20 planned), brought to its pH with sodium hydroxide and hydrochloric acid<br>")
	rec = after(t, events, note(1.006*plan))
	assert.Contains(t, label(rec), "\nmade from 20 mmol/L MOPS, brought to its pH with sodium hydroxide and hydrochloric acid\n") // MOPS is a sodium salt in part then
	assert.NotContains(t, strings.Join(rec.Cautions, "\n"), "was weighed")
	assert.Contains(t, label(after(t, events, note(1.016*plan))), "20.3 mmol/L MOPS by the mass")
}

// A run has one name, before and after the reading of what was made up; without a
// calibration its label promises no thousandths.
func TestARunKeepsItsName(t *testing.T) {
	events := eventfulRun(t, limpet)
	bare := slices.DeleteFunc(slices.Clone(events), func(e journal.Event) bool { return e.Kind == journal.Calibrated })
	rec := after(t, bare)
	name, sum := rec.First[:12], rec.Sum[:12]
	require.NotEqual(t, name, sum)
	assert.Contains(t, label(rec), "run "+name+", sum "+sum)
	assert.Regexp(t, `(?m)^pH 7\.\d\d expected at`, label(rec))
	temp := 29.5
	rec = after(t, bare, journal.Event{Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.21, TempC: &temp}})
	require.NotEqual(t, sum, rec.Sum[:12])
	sum = rec.Sum[:12]
	assert.Contains(t, label(rec), "run "+name+", sum "+sum)
	assert.Contains(t, rec.Changes[len(rec.Changes)-1].What, "pH 7.21 at 29.5 °C")
	var page bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	assert.Contains(t, page.String(), "· run "+name+" · sum "+sum+"…")
}

// Of a beaker that nobody weighed nothing is predicted: no page, label or line speaks of a
// mark or of another temperature.
func TestABeakerThatNobodyWeighedIsAsItIs(t *testing.T) {
	events := eventfulRun(t, limpet)
	var p recipe.Plan
	require.NoError(t, json.Unmarshal(events[0].Start.Plan, &p))
	p.Weighed = nil
	text, err := json.Marshal(p)
	require.NoError(t, err)
	first := *events[0].Start
	first.Plan, events[0].Start = text, &first
	rec := after(t, events)
	require.True(t, rec.Unweighed)
	require.NotNil(t, rec.Read)
	r, err := replaytest.Of(events)
	require.NoError(t, err)
	plan, believed := r.Curves(9)
	assert.Empty(t, append(plan, believed...), "what is believed of it holds near the last reading only")
	var page, lines bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	require.NoError(t, rec.Review.WriteText(&lines))
	for _, text := range []string{page.String(), label(rec), lines.String()} {
		assert.Contains(t, text, "in the beaker as it is")
		for _, w := range []string{"made up to", "read after making up", "expected at", "30.0 °C", "the curve", "the coach would"} {
			assert.NotContains(t, text, w)
		}
	}
	assert.Contains(t, label(rec), "read in the beaker, at 21.0 °C")

	rec = after(t, events, journal.Event{Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.2}})
	assert.Contains(t, label(rec), "pH 7.20, read when it was finished, temperature not noted", "it has no mark to be made up to")
}

// What went in once the pH was set stands there as such, and until it is made up it is said.
func TestWhatGoesInLateStandsInTheRecord(t *testing.T) {
	p := plan(limpet)
	p.Weighed = append(p.Weighed, recipe.Weighed{Reagent: "sodium azide", Grams: num(0.05), Late: true})
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	r := begun(t, p, setup, sim.DefaultTruth(setup, 11))
	r.wait(50)
	for range 8 {
		if v := r.keep.Look(r.sec); v.Advice.Do.String() == "add" {
			r.add(v.Titrant, v.Advice.Drops, v.Advice.Drops)
		}
		r.wait(60)
	}
	r.take(journal.Event{Kind: journal.Ended, End: &journal.End{Outcome: "in tolerance"}})
	rec := after(t, r.Events)
	require.True(t, rec.InAim)
	// 0.05 g of 65.01 g/mol in 250 mL are 3.076 mmol/L.
	assert.Contains(t, rec.Contents(), "made from 20 mmol/L MOPS, brought to its pH with sodium hydroxide")
	assert.Regexp(t, `; then 3\.076 mmol/L sodium azide$`, rec.Contents())
	assert.Contains(t, strings.Join(rec.Cautions, "\n"), "Now that the pH is set, and not before: 0.05 g of sodium azide.")
	var page bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	assert.Contains(t, page.String(), "<td>sodium azide, once the pH is set</td>")
	// A reading after making up is taken with all of it in.
	use := 30.0
	rec = after(t, r.Events, journal.Event{Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.2, TempC: &use}})
	assert.NotContains(t, strings.Join(rec.Cautions, "\n"), "Now that the pH is set")
}
