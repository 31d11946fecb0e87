package practice_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/sim"
)

// diary is a log in memory.
type diary struct{ events []journal.Event }

func (d *diary) Append(e *journal.Event) error {
	e.Seq = int64(len(d.events)) + 1
	d.events = append(d.events, *e)
	return nil
}

// person stands at the bench of an exercise in simulated seconds.
type person struct {
	t      *testing.T
	e      *practice.Exercise
	bench  *sim.Bench
	keeper *run.Keeper
	diary  *diary
	now    float64
}

var noon = time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC)

func sit(t *testing.T, name string, seed uint64, c practice.Coaching) *person {
	t.Helper()
	e, err := practice.Find(name)
	require.NoError(t, err)
	b, _, err := e.NewBench(seed)
	require.NoError(t, err)
	slip, err := practice.NewSlip(e, seed, c, 1, 1)
	require.NoError(t, err)
	first, err := practice.Start(e, slip, noon, "test", "bench 3")
	require.NoError(t, err)
	p := &person{t: t, e: e, bench: b, diary: &diary{events: []journal.Event{first}}}
	p.keeper, err = run.NewKeeper(first, p.diary, func(s float64) time.Time { return noon.Add(time.Duration(s * float64(time.Second))) })
	require.NoError(t, err)
	require.NoError(t, e.TellGiven(p.keeper))
	return p
}

func (p *person) take(e journal.Event) {
	e.T = p.now
	require.NoError(p.t, p.keeper.Take(e))
}

// wait lets seconds pass and looks at each of them.
func (p *person) wait(seconds int) run.View {
	var v run.View
	for range seconds {
		p.now++
		p.bench.Advance(p.now)
		p.take(journal.Event{Kind: journal.Read, Reading: run.Recorded(p.bench.Sample())})
		v = p.keeper.Look(p.now)
	}
	return v
}

func (p *person) drip(titrant string, drops float64) {
	a, err := p.keeper.State.Addition(titrant, drops, 0)
	require.NoError(p.t, err)
	p.take(journal.Event{Kind: journal.Added, Added: &a})
	require.NoError(p.t, p.bench.Dispense(titrant, drops, 0))
}

// obey does what the coach says until it says stop.
func (p *person) obey() {
	for range 3000 {
		v := p.wait(1)
		switch v.Advice.Do {
		case coach.Stop:
			return
		case coach.Check:
			p.take(journal.Event{Kind: journal.Confirmed})
		case coach.Add:
			p.drip(v.Titrant, v.Advice.Drops)
		}
	}
}

func (p *person) name(fault string) {
	p.take(journal.Event{Kind: journal.Remarked, Remark: &journal.Remark{Text: "it is " + fault, Code: practice.FaultCode + fault}})
	p.bench.Mend(fault)
}

func (p *person) end() practice.Result {
	p.take(journal.Event{Kind: journal.Ended, End: &journal.End{Outcome: "done"}})
	r, err := replay.Of(p.diary.events)
	require.NoError(p.t, err)
	res, err := practice.Judge(r)
	require.NoError(p.t, err)
	return res
}
