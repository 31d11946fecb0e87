package report_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/report"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/sim"
)

func num(x float64) *float64 { return &x }

// plan is a scenario of our own, on paper only.
func plan(name string) recipe.Plan {
	return recipe.Plan{
		Name:    name,
		Target:  recipe.Target{PH: num(7.2), Tolerance: num(0.02), UseTempC: num(30)},
		Beaker:  recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(21)},
		Weighed: []recipe.Weighed{{Reagent: "MOPS", MMol: num(5)}},
		Titrants: []recipe.Titrant{
			{Name: "NaOH 1 M", Reagent: "NaOH", Molar: num(1), DropUL: num(50)},
			{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: num(0.1), DropUL: num(50)},
			{Name: "HCl 0.1 M", Reagent: "HCl", Molar: num(0.1), DropUL: num(50)},
		},
	}
}

// eventful is a run with an overshoot, a correction, an undo, a gap and a remark.
type eventful struct {
	t *testing.T
	runtest.Log
	sim  *sim.Bench
	keep *keep.Keeper
	sec  float64
}

var dawn = time.Date(2031, 5, 4, 6, 12, 0, 0, time.FixedZone("", 7200))

func (r *eventful) take(e journal.Event) {
	r.t.Helper()
	e.T = r.sec
	require.NoError(r.t, r.keep.Take(e))
}

func (r *eventful) wait(seconds int) {
	for range seconds {
		r.sec++
		r.sim.Advance(r.sec)
		r.take(journal.Event{Kind: journal.Read, Reading: recorded.Reading(r.sim.Sample())})
		r.keep.Look(r.sec)
	}
}

func (r *eventful) add(titrant string, said, fell float64) {
	a, err := r.keep.State.Addition(titrant, said, 0)
	require.NoError(r.t, err)
	r.take(journal.Event{Kind: journal.Added, Added: &a})
	if fell > 0 {
		require.NoError(r.t, r.sim.Dispense(titrant, fell, 0))
	}
}

// begun is a run of a plan on a simulated bench.
func begun(t *testing.T, p recipe.Plan, setup *recipe.Setup, truth sim.Truth) *eventful {
	t.Helper()
	b, err := sim.New(setup, truth)
	require.NoError(t, err)
	text, err := json.Marshal(p)
	require.NoError(t, err)
	r := &eventful{t: t, sim: b}
	first := journal.Event{At: dawn, Kind: journal.Started, Start: &journal.Start{Format: journal.Format, Program: "halfdrop test", Plan: text, Operator: "bench two", Source: "simulated bench, seed 11"}}
	require.NoError(t, r.Append(&first))
	r.keep, err = keep.NewKeeper(first, r, func(s float64) time.Time { return dawn.Add(time.Duration(s * float64(time.Second))) })
	require.NoError(t, err)
	return r
}

func eventfulRun(t *testing.T, name string) []journal.Event {
	t.Helper()
	p := plan(name)
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	r := begun(t, p, setup, sim.DefaultTruth(setup, 11))
	r.wait(50)
	r.add("NaOH 1 M", 26, 26)
	r.wait(40)
	r.add("NaOH 1 M", 12, 13)
	r.wait(3)
	c, err := propose.Correction(r.keep.State, journal.Correction{To: journal.Addition{Drops: 13}, Reason: "miscounted, the tally says 13"})
	require.NoError(t, err)
	r.take(journal.Event{Kind: journal.Corrected, Correct: &c})
	r.wait(45)
	r.add("NaOH 0.1 M", 4, 0)
	last, _ := r.keep.State.Latest()
	r.take(journal.Event{Kind: journal.Undone, Undo: &journal.Undo{Seq: last.Seq, Reason: "keyed for another beaker"}})
	r.wait(4)
	r.add("NaOH 1 M", 34, 34)
	r.wait(60)
	r.take(journal.Event{Kind: journal.Remarked, Remark: &journal.Remark{Text: "a bubble under the bulb, tapped off"}})
	r.sec += 1500
	r.take(journal.Event{Kind: journal.Gap, Gap: &journal.GapPayload{Seconds: 1500}})
	r.wait(60)
	for range 6 {
		v := r.keep.Look(r.sec)
		if v.Advice.Do.String() == "add" {
			r.add(v.Titrant, v.Advice.Drops, v.Advice.Drops)
		}
		r.wait(50)
	}
	r.take(journal.Event{Kind: journal.Ended, End: &journal.End{Outcome: "in tolerance"}})
	return r.Events
}

func record(t *testing.T, name string) *report.Record {
	t.Helper()
	r, err := replaytest.Of(eventfulRun(t, name))
	require.NoError(t, err)
	return report.New(r)
}

const limpet = "MOPS 20 mM for the limpet enzyme, invented"

func TestPageSaysWhatHappened(t *testing.T) {
	var b bytes.Buffer
	rec := record(t, limpet)
	require.NoError(t, rec.WritePage(&b))
	if path := os.Getenv("HALFDROP_PAGE"); path != "" {
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
	}
	html := b.String()
	for _, want := range []string{
		limpet, "20 mmol/L MOPS", "NaOH 1 M", "miscounted, the tally says 13", "first entered as 12 drops",
		"keyed for another beaker", "25 min without readings", "a bubble under the bulb", "bench two",
		"at 30.0 °C", "use before", "data sheet", "label", "Overshoots", "goggles", "pH 7.", "within the tolerance",
	} {
		assert.Contains(t, html, want)
	}
	assert.NotContains(t, html, "NaN")
	assert.NotContains(t, html, "ZgotmplZ")
	for _, outside := range []string{"http://", "https://", "<script", "<link", "url("} {
		assert.NotContains(t, strings.ReplaceAll(html, `xmlns="http://www.w3.org/2000/svg"`, ""), outside, "the page needs nothing else")
	}
	require.NotEmpty(t, rec.Over)
	assert.Len(t, rec.Changes, 4)
}

// A value is on record only when it was read at rest: with its spread and time
// then, and before that not even on the label.
func TestOnlyWhatWasReadAtRest(t *testing.T) {
	events := eventfulRun(t, limpet)
	page := func(events []journal.Event) (*report.Record, string) {
		r, err := replaytest.Of(events)
		require.NoError(t, err)
		rec := report.New(r)
		var b bytes.Buffer
		require.NoError(t, rec.WritePage(&b))
		return rec, b.String()
	}
	rec, html := page(events)
	require.NotNil(t, rec.Read)
	assert.True(t, rec.InAim)
	require.Less(t, rec.Read.SD, 0.0095, "a digit more is known")
	assert.Contains(t, html, fmt.Sprintf("pH %.3f ± %.1g", rec.Read.PH, rec.Read.SD))
	assert.Contains(t, html, fmt.Sprintf("pH %.2f expected at 30.0 °C", rec.InUse), "the label waits for the reading after making up, and knows no calibration")
	added := slices.IndexFunc(events, func(e journal.Event) bool { return e.Kind == journal.Added })
	short := append(slices.Clone(events[:added+5]), journal.Event{Kind: journal.Ended, End: &journal.End{Outcome: "left"}})
	last := &short[len(short)-1]
	last.Seq, last.T, last.At = short[len(short)-2].Seq+1, short[len(short)-2].T, short[len(short)-2].At
	rec, html = page(short)
	assert.Nil(t, rec.Read)
	assert.False(t, rec.InAim)
	assert.Contains(t, html, "<b>not read at rest</b>")
	_, label, _ := strings.Cut(html, `class="label"`)
	assert.Contains(t, label, "pH</span>: not read at rest")
	assert.NotContains(t, label, "(read")
	text, err := json.Marshal(rec)
	require.NoError(t, err)
	assert.Contains(t, string(text), `"read":null`)
}

// Names come from people: none may break out of the page or the figure.
func TestHostileNames(t *testing.T) {
	bad := `</title><script>alert(1)</script> & "x" \x00` + "\x1b[31m"
	rec := record(t, bad)
	var b bytes.Buffer
	require.NoError(t, rec.WritePage(&b))
	assert.NotContains(t, b.String(), "<script>")
	for _, draw := range []func(io.Writer) error{rec.WriteCurve, rec.WriteTrace} {
		b.Reset()
		require.NoError(t, draw(&b))
		wellFormed(t, b.Bytes())
	}
}

func wellFormed(t *testing.T, svg []byte) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		_, err := d.Token()
		if err == io.EOF {
			return
		}
		require.NoError(t, err)
	}
}

func TestFiguresHoldEveryAddition(t *testing.T) {
	rec := record(t, limpet)
	var b bytes.Buffer
	require.NoError(t, rec.WriteCurve(&b))
	given := 0
	for _, s := range rec.Steps {
		if !s.Undone {
			given++
		}
	}
	assert.Equal(t, given+1, strings.Count(b.String(), "<circle"), "the start and one for each addition")
	wellFormed(t, b.Bytes())
	assert.NotContains(t, b.String(), "NaN")
}

func TestJSONHoldsTheSums(t *testing.T) {
	rec := record(t, limpet)
	text, err := json.Marshal(rec)
	require.NoError(t, err)
	var got struct {
		Name      string
		InUse     float64 `json:"ph_in_use"`
		AddedML   float64 `json:"added_ml"`
		Additions []struct {
			ML        float64
			Withdrawn bool
		}
		Overshoots []struct{ Cause string }
		Titrants   []struct{ ML, MMol float64 }
	}
	require.NoError(t, json.Unmarshal(text, &got), string(text))
	assert.Equal(t, limpet, got.Name)
	assert.InDelta(t, 7.2, got.InUse, 0.05)
	sum, byTitrant := 0.0, 0.0
	for _, a := range got.Additions {
		if !a.Withdrawn {
			sum += a.ML
		}
	}
	for _, t := range got.Titrants {
		byTitrant += t.ML
	}
	assert.InDelta(t, sum, got.AddedML, 1e-9)
	assert.InDelta(t, sum, byTitrant, 1e-9)
	assert.NotEmpty(t, got.Overshoots)
}

// A bottle that is given by a pipette or a burette has no drops, neither on the page nor for programs.
func TestWhatABottleIsGivenBy(t *testing.T) {
	p := plan(limpet)
	p.Titrants[0] = recipe.Titrant{Name: "NaOH 1 M", Reagent: "NaOH", Molar: num(1), By: "pipette"}
	p.Titrants[1] = recipe.Titrant{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: num(0.1), By: "burette", StepML: num(0.1)}
	p.Titrants[2].DropUL = num(47)
	r, err := replaytest.Of([]journal.Event{runtest.First(p)})
	require.NoError(t, err)
	rec := report.New(r)
	var b bytes.Buffer
	require.NoError(t, rec.WritePage(&b))
	_, table, _ := strings.Cut(b.String(), "<h2>Titrants</h2>")
	table, _, _ = strings.Cut(table, "</table>")
	for i, by := range []string{"by pipette", "by burette", "47"} {
		row := strings.Split(table, "<tr>")[i+2] // after the head
		assert.Contains(t, row, p.Titrants[i].Name)
		assert.Contains(t, row, `<td class="r">`+by+"</td>")
	}
	text, err := json.Marshal(rec.Titrants)
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(string(text), `"drop_ul":47`))
	assert.Equal(t, 1, strings.Count(string(text), "drop_ul"))
	assert.Contains(t, string(text), `"by":"pipette"`)
}

// A run that was only begun has a record too.
func TestBareRun(t *testing.T) {
	r, err := replaytest.Of(eventfulRun(t, limpet)[:1])
	require.NoError(t, err)
	rec := report.New(r)
	var b bytes.Buffer
	require.NoError(t, rec.WritePage(&b))
	assert.Contains(t, b.String(), "no reading")
	assert.Contains(t, b.String(), "nothing was added")
	assert.NotContains(t, b.String(), "NaN")
	_, err = json.Marshal(rec)
	require.NoError(t, err)
}
