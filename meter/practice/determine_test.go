package practice_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
)

// analyst is the expert where an amount is looked for: works out alone what tells most,
// and puts down what the whole curve says.
func analyst(t *testing.T, e *practice.Exercise, seed uint64) score.Result {
	p := sitAt(t, e, seed, e.Coach, 0)
	p.goOn(1, nil)
	p.answer()
	return p.end()
}

// write puts a remark down.
func (p *person) write(format string, a ...any) {
	p.take(journal.Event{Kind: journal.Remarked, Remark: &journal.Remark{Text: fmt.Sprintf(format, a...)}})
}

// answer puts down what the whole curve says.
func (p *person) answer() {
	f := p.keeper.State.Finding(p.now)
	require.NotNil(p.t, f)
	require.GreaterOrEqual(p.t, f.Main, 0)
	p.write("answer %.2f mL", f.Stations[f.Main].Volume.Millilitres())
	if f.What == find.Constant {
		p.write("answer pK %.2f", f.PK)
	}
}

// byEye titrates in equal steps, beyond the steepest place, and puts down the middle of
// the steepest interval, as a class does with pencil and paper.
func (p *person) byEye(ml float64, wait int) {
	setup := p.keeper.State.Setup
	v := p.wait(60)
	last, at, steep, where, since := v.PH, 0.0, 0.0, 0.0, 0
	for at+ml < (setup.Final - setup.Start).Millilitres() {
		p.pour(setup.Stocks[0].Name, ml)
		v = p.wait(wait)
		if s := math.Abs(v.PH - last); s > steep {
			steep, where, since = s, at+ml/2, 0
		}
		at, last = at+ml, v.PH
		if since++; since > 5 && steep > 1 {
			break
		}
	}
	p.write("Answer: %s mL", strings.ReplaceAll(fmt.Sprintf("%.2f", where), ".", ","))
}

func determinations(t *testing.T) (out []*practice.Exercise) {
	t.Helper()
	all, err := practice.Exercises()
	require.NoError(t, err)
	for _, e := range all {
		if e.Determines() {
			out = append(out, e)
		}
	}
	return out
}

// Six kinds of determinations, and whatever the seed, there is room to titrate them.
func TestAnswersAreInReach(t *testing.T) {
	list := determinations(t)
	require.GreaterOrEqual(t, len(list), 6)
	for _, e := range list {
		for seed := range uint64(6) {
			if seed == 0 {
				seed = e.Seed - 1 // what the coach needs there is worked out once
			}
			b, s, err := e.NewBench(seed + 1)
			require.NoError(t, err)
			tr := b.Truth()
			// By hand: what takes up titrant, over the strength of the bottle.
			mmol := func(k int) float64 { return tr.Weighed[k].Amount.Millimoles() * math.Exp(tr.LnAmount) }
			need := map[string]func() float64{
				"strength-of-a-bottle": func() float64 { return mmol(0) }, "vinegar": func() float64 { return mmol(0) }, "dilute-sample": func() float64 { return mmol(0) },
				"unknown-acid": func() float64 { return mmol(0) }, "two-steps": func() float64 { return 2 * mmol(0) }, "antacid": func() float64 { return mmol(1) - 2*mmol(0) },
			}[e.Name]
			require.NotNil(t, need, e.Name)
			ml := need() / (float64(s.Stocks[0].Molar) * math.Exp(tr.LnStrength[0]))
			room := (s.Final - s.Start).Millilitres()
			assert.True(t, ml > 0.02*room && ml < 0.85*room, "%s, seed %d: %.1f mL of %.0f", e.Name, seed+1, ml, room)
			if seed+1 != e.Seed || !slices.Contains([]string{"vinegar", "antacid", "two-steps"}, e.Name) {
				continue
			}
			p := sitAt(t, e, seed+1, practice.Off, 0)
			p.wait(40)
			p.pour(s.Stocks[0].Name, 0.4*ml)
			p.wait(30)
			p.write("answer %.4f mL", 1.01*ml)
			r := p.end()
			require.NotNil(t, r.Sought)
			assert.InDelta(t, ml, r.Sought.ML, 0.003*ml, "%s: the volume by stoichiometry", e.Name)
			assert.InDelta(t, 0.01, r.Sought.Error, 0.003, e.Name)
		}
	}
}

// Close beyond the point the curve is steep, and a reading known to 0.08 pH says the volume to
// half a per cent: who left it at that has read on that side (seed 1014 lost 15 points).
func TestSteepReadingsAreGoodEnough(t *testing.T) {
	e, err := practice.Find("antacid")
	require.NoError(t, err)
	r := analyst(t, e, 1014)
	i := item(t, r, "read on both sides")
	assert.Equal(t, i.Of, i.Got, i.Why)
}

// Who does what the coach says knows the answer, and who works it out alone has it right.
func TestAnalysts(t *testing.T) {
	for _, c := range []struct {
		name string
		seed uint64 // 0 for that of the exercise
	}{{"strength-of-a-bottle", 0}, {"antacid", 0}, {"unknown-acid", 1002}} { // in the last one, readings were once taken seconds before they were at rest
		name := c.name
		e, err := practice.Find(name)
		require.NoError(t, err)
		r := analyst(t, e, max(c.seed, e.Seed))
		t.Logf("%s: %.0f points, %s; %+v", name, r.Points, losses(r), *r.Sought)
		assert.True(t, r.In, "%s: %s", name, losses(r))
		assert.GreaterOrEqual(t, r.Points, 90.0, "%s: %s", name, losses(r))
		assert.Positive(t, r.Skills[practice.Determining].Of)
		assert.Contains(t, strings.Join(r.Story, " "), "in truth it is")
		for _, i := range r.Items {
			assert.NotEmpty(t, i.Why)
			assert.True(t, i.Got >= 0 && i.Got <= i.Of)
		}
	}
}

// Pencil and paper do: small steps are right, large ones nearly, and hasty ones neither
// wait nor read both sides. Without an answer there are no points for one.
func TestAnswersByEye(t *testing.T) {
	by := func(ml float64, wait int) score.Result {
		p := sit(t, "vinegar", 193, practice.Off)
		p.byEye(ml, wait)
		return p.end()
	}
	fine, coarse, hasty := by(1, 40), by(4, 40), by(1, 3)
	t.Logf("fine %.0f (%s)", fine.Points, losses(fine))
	t.Logf("coarse %.0f (%s)", coarse.Points, losses(coarse))
	t.Logf("hasty %.0f (%s)", hasty.Points, losses(hasty))
	assert.Greater(t, item(t, fine, "the answer").Got, 35.0)
	assert.Greater(t, item(t, fine, "the answer").Got, item(t, coarse, "the answer").Got)
	assert.Less(t, item(t, hasty, "waited for settling").Got, 5.0)
	assert.Equal(t, item(t, fine, "read on both sides").Of, item(t, fine, "read on both sides").Got)

	p := sit(t, "vinegar", 193, practice.Off)
	p.wait(40)
	p.pour("NaOH 0.1 M", 10)
	p.wait(40)
	p.write("it smells of vinegar; the answer is 42")
	r := p.end()
	assert.Equal(t, 0.0, item(t, r, "the answer").Got)
	assert.Contains(t, item(t, r, "the answer").Keep, "as a remark")
	assert.Equal(t, "no answer was given", r.Verdict())
	assert.Equal(t, 0.0, item(t, r, "read on both sides").Got)
}

// An item of one kind of exercise is refused in the other.
func TestItemsOfAmounts(t *testing.T) {
	_, err := practice.Decode("x.toml", []byte(strings.Replace(text(t), "[weights]", "[weights]\nanswer = 5", 1)))
	require.ErrorContains(t, err, `"answer" is not an item of an exercise for a pH`)
	e, err := practice.Find("vinegar")
	require.NoError(t, err)
	_, err = practice.Decode("x.toml", []byte(strings.Replace(string(e.Text), "[weights]", "[weights]\novershoot = 5", 1)))
	require.ErrorContains(t, err, `"overshoot" is not an item of an exercise for an amount`)
}
