package practice_test

import (
	"encoding/json"
	"math"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// person stands at the bench of an exercise in simulated seconds.
type person struct {
	t      *testing.T
	e      *practice.Exercise
	bench  *sim.Bench
	plate  *practice.Plate
	keeper *keep.Keeper
	diary  *runtest.Log
	now    float64
}

var noon = time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC)

func sit(t *testing.T, name string, seed uint64, c practice.Coaching) *person {
	t.Helper()
	e, err := practice.Find(name)
	require.NoError(t, err)
	return sitAt(t, e, seed, c, 1)
}

// sitAt is sit with the standards of a choice, from 1, where a calibration is asked for.
func sitAt(t *testing.T, e *practice.Exercise, seed uint64, c practice.Coaching, choice int) *person {
	t.Helper()
	return sitDown(t, e, seed, c, choice, false)
}

// sitDown is sitAt, with drops that fall one by one where drips is set.
func sitDown(t *testing.T, e *practice.Exercise, seed uint64, c practice.Coaching, choice int, drips bool) *person {
	t.Helper()
	b, _, err := e.NewBench(seed)
	require.NoError(t, err)
	slip, err := practice.NewSlip(e, seed, c, 1, time.Second)
	require.NoError(t, err)
	slip.Drips = drips
	first, err := practice.Start(e, slip, noon, "test", "bench 3")
	require.NoError(t, err)
	p := &person{t: t, e: e, bench: b, plate: e.NewPlate(b), diary: &runtest.Log{Events: []journal.Event{first}}}
	p.plate.Last = func() (journal.Kind, int64) { e := p.diary.Events[len(p.diary.Events)-1]; return e.Kind, e.Seq }
	p.keeper, err = keep.NewKeeper(first, p.diary, func(s float64) time.Time { return noon.Add(time.Duration(s * float64(time.Second))) })
	require.NoError(t, err)
	if e.Calibrate != nil && choice > 0 {
		p.calibrate(e.Calibrate.Choices[choice-1])
	}
	require.NoError(t, e.TellGiven(p.keeper))
	return p
}

// mv is what the electrode gives when the meter would show a pH.
func (p *person) mv(ph float64) float64 { return (7 - ph) * (59.16 + 0.1984*(p.bench.TempShown()-25)) }

func (p *person) calibrate(names []string) {
	var points []calib.Point
	for i, name := range names {
		st, err := standards.Find(name, standards.Technical)
		require.NoError(p.t, err)
		temp := p.bench.TempShown()
		ph, err := st.PH(chem.Celsius(temp))
		require.NoError(p.t, err)
		mv := p.mv(p.bench.Displayed(ph))
		cov := make([]float64, i+1)
		cov[i] = 0.04
		points = append(points, calib.Point{Standard: name, Set: standards.Technical, At: noon, TempC: temp, PH: ph, MV: &mv, SD: 0.003, Cov: cov, TauS: 5})
	}
	c, err := calib.Judge(calib.About{Meter: "test", At: noon}, points, nil)
	require.NoError(p.t, err)
	text, err := json.Marshal(c)
	require.NoError(p.t, err)
	p.take(journal.Event{Kind: journal.Calibrated, Calibration: text})
}

// read is what the meter sends now.
func (p *person) read() *journal.Reading {
	r := p.bench.Sample()
	if p.e.Calibrate != nil {
		r = meter.Reading{Quantity: meter.Millivolt, Value: math.Round(10*p.mv(p.bench.Shown()))/10 + 0, Decimals: 1, HasTemp: true, TempC: p.bench.TempShown()}
	}
	return recorded.Reading(r)
}

func (p *person) take(e journal.Event) {
	e.T = p.now
	require.NoError(p.t, p.keeper.Take(e))
}

// wait lets seconds pass, each with a reading, and looks at the end of them.
func (p *person) wait(seconds int) view.View {
	var v view.View
	for range seconds {
		p.now++
		p.bench.Advance(p.now)
		p.take(journal.Event{Kind: journal.Read, Reading: p.read()})
	}
	if seconds > 0 {
		v = p.keeper.Look(p.now)
	}
	return v
}

func (p *person) drip(titrant string, drops float64) {
	a, err := p.keeper.State.Addition(titrant, drops, 0)
	require.NoError(p.t, err)
	p.take(journal.Event{Kind: journal.Added, Added: &a})
	require.NoError(p.t, p.plate.Dispense(titrant, drops, 0))
}

// dropPace is the time between two drops that fall, s.
const dropPace = 0.6

// count lets drops fall one by one, and records them when the last one has.
func (p *person) count(titrant string, drops float64) {
	pour, err := p.plate.Begin(titrant, drops)
	require.NoError(p.t, err)
	began := p.now
	if v := p.keeper.Look(p.now); propose.CanDose(p.keeper.State) == nil && v.Titrant == titrant {
		p.take(journal.Event{Kind: journal.Dosing})
	}
	for n := range int(drops) {
		for at := began + dropPace*float64(n); p.now+1 <= at; {
			p.wait(1)
		}
		p.bench.Advance(began + dropPace*float64(n))
		pour.Fall(1 / drops)
	}
	last := began + dropPace*(drops-1)
	a, err := p.keeper.State.Addition(titrant, drops, 0)
	require.NoError(p.t, err)
	second := p.now
	p.now = last
	p.take(propose.Dated(p.keeper.State, journal.Event{T: p.now, Kind: journal.Added, Added: &a}))
	p.now = second
}

// pour gives a volume of a bottle that is counted in mL.
func (p *person) pour(titrant string, ml float64) {
	a, err := p.keeper.State.Addition(titrant, 0, ml)
	require.NoError(p.t, err)
	p.take(journal.Event{Kind: journal.Added, Added: &a})
	require.NoError(p.t, p.plate.Dispense(titrant, 0, chem.Volume(a.ML)*chem.Millilitre))
}

// give gives a share of what is advised, in its unit.
func (p *person) give(v view.View, share float64) {
	if v.Advice.Drops == 0 {
		p.pour(v.Titrant, share*v.Advice.Volume.Millilitres())
		return
	}
	p.drip(v.Titrant, math.Max(1, math.Ceil(share*v.Advice.Drops)))
}

// obey does what the coach says until it says stop.
func (p *person) obey() {
	for range 3000 {
		v := p.wait(3)
		switch v.Advice.Do {
		case coach.Stop:
			return
		case coach.Check:
			p.take(journal.Event{Kind: journal.Confirmed})
		case coach.Add:
			p.give(v, 1)
		}
	}
}

// name names a fault with the reading of a time as its evidence, NaN for none.
func (p *person) name(fault string, at float64, addition bool) {
	p.nameAs(fault, at, addition, practice.Unsaid)
}

// nameAs is name with the way in which it shows there.
func (p *person) nameAs(fault string, at float64, addition bool, way practice.Way) {
	p.take(journal.Event{Kind: journal.Remarked, Remark: &journal.Remark{Text: "it is " + fault, Code: practice.FaultCode(fault, at, addition, way)}})
	p.bench.Mend(fault)
}

// lastPerson is who ended a run last.
var lastPerson atomic.Pointer[person]

func (p *person) end() score.Result {
	lastPerson.Store(p)
	p.take(propose.Ending(p.keeper.State, p.now, "done"))
	r, err := replaytest.Of(p.diary.Events)
	require.NoError(p.t, err)
	res, err := score.Judge(r)
	require.NoError(p.t, err)
	return res
}
