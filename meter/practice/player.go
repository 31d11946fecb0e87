package practice

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/sim"
)

// dropEvery is the time between two drops that fall by themselves, s, as the run
// lets them fall.
const dropEvery = 0.6

// player does to a bench what a journal says was done.
type player struct {
	e     *Exercise
	b     *sim.Bench
	plate *Plate
	plan  recipe.Plan // with the bottles that were brought
	drips bool        // drops fell one by one
	early float64     // s by which the first drop of an addition fell before what the record says
	pace  float64     // s between two of them
	told  bool        // they began when the person said so, however late they were recorded
	even  bool        // and fell evenly until then

	look  func(t float64) // is called every so often, when it is not nil
	every float64         // s
	next  float64

	reads []float64   // times at which the meter was read, in order
	read  func(i int) // is called at each of them
	taken int

	given int
	doses map[int64]journal.Addition
	last  journal.Event
}

// play begins on the bench of a slip.
func (e *Exercise) play(s Slip) (*player, error) {
	b, setup, err := e.NewBench(s.Seed)
	if err != nil {
		return nil, err
	}
	p := &player{e: e, b: b, plate: e.NewPlate(b), plan: setup.Plan, drips: s.Drips, pace: dropEvery, given: len(e.Given), doses: map[int64]journal.Addition{}}
	p.plate.Last = func() (journal.Kind, int64) { return p.last.Kind, p.last.Seq }
	return p, nil
}

// to lets the time come to t, s.
func (p *player) to(t float64) {
	for {
		look := p.look != nil && p.next <= t
		read := p.taken < len(p.reads) && p.reads[p.taken] <= t
		switch {
		case read && (!look || p.reads[p.taken] <= p.next):
			p.b.Advance(p.reads[p.taken])
			p.read(p.taken)
			p.taken++
		case look:
			p.b.Advance(p.next)
			p.look(p.next)
			p.next += p.every
		default:
			p.b.Advance(t)
			return
		}
	}
}

// whole does all that was done, to the end. An addition begins to fall before it is
// on record, and before the readings between.
func (p *player) whole(r *replay.Run) error {
	for ev := range r.Others {
		if err := p.take(ev); err != nil {
			return err
		}
	}
	p.to(r.Seconds())
	return nil
}

// readTimes are when the meter of the bench was read for each reading of a run: at
// multiples of every, however late it was recorded; and after a break from there on.
func (e *Exercise) readTimes(r *replay.Run, every float64) []float64 {
	var out []float64
	at, begun := -every, e.Calibrate == nil
	for ev := range r.Events {
		switch {
		case ev.Kind == journal.Gap:
			at, begun = (math.Ceil(ev.T/every-1e-9)-1)*every, true
		case ev.Kind != journal.Read:
			continue
		case !begun: // the calibration went before
			at, begun = (math.Floor(ev.T/every)-1)*every, true
			fallthrough
		default:
			at += every
			out = append(out, at)
		}
	}
	return out
}

// take does what an event did, at its time.
func (p *player) take(ev journal.Event) error {
	p.last = ev
	var err error
	switch {
	case ev.Added != nil:
		p.doses[ev.Seq] = *ev.Added
		if p.given > 0 { // in the beaker already
			p.given--
			return nil
		}
		err = p.pour(ev)
	case ev.Undo != nil:
		p.to(ev.T)
		a := p.doses[ev.Undo.Seq]
		err = p.plate.Retract(a.Titrant, a.Drops, chem.Volume(a.ML)*chem.Millilitre)
	case ev.Correct != nil:
		p.to(ev.T)
		a, to := p.doses[ev.Correct.Seq], ev.Correct.To
		if err = p.plate.Retract(a.Titrant, a.Drops, chem.Volume(a.ML)*chem.Millilitre); err == nil {
			err = p.plate.Dispense(to.Titrant, to.Drops, chem.Volume(to.ML)*chem.Millilitre)
		}
		p.doses[ev.Correct.Seq] = to
	case ev.Bottle != nil:
		err = p.bring(ev.Bottle)
	case ev.Remark != nil:
		if n, ok := namedIn(ev); ok && p.e.Has(n.Name) {
			p.to(ev.T)
			p.b.Mend(n.Name)
		}
	} // nothing else is done to the beaker: drops that are put on record later may be falling
	if err != nil {
		return fmt.Errorf("practice: event %d: %w", ev.Seq, err)
	}
	return nil
}

// bring puts a bottle at the bench that was brought in the middle of the run.
func (p *player) bring(bottle json.RawMessage) error {
	var t recipe.Titrant
	if err := json.Unmarshal(bottle, &t); err != nil {
		return err
	}
	p.plan.Titrants = append(slices.Clip(p.plan.Titrants), t)
	setup, err := brought.Compile(p.plan)
	if err != nil {
		return err
	}
	return p.b.Bring(setup.Stocks[len(setup.Stocks)-1])
}

// pour lets an addition fall that is recorded when all of it is in.
func (p *player) pour(ev journal.Event) error {
	a := ev.Added
	if !p.drips || a.Drops <= 1 && !p.told {
		p.to(math.Max(p.b.Time(), ev.T-p.early))
		return p.plate.Dispense(a.Titrant, a.Drops, chem.Volume(a.ML)*chem.Millilitre)
	}
	p.to(math.Max(p.b.Time(), ev.T-p.lead(ev)-p.early))
	pour, err := p.plate.Begin(a.Titrant, a.Drops)
	if err != nil {
		return err
	}
	pace := p.pace
	if p.even && a.Drops > 1 {
		pace = math.Max(pace, (ev.T-p.b.Time())/(math.Ceil(a.Drops)-1))
	}
	for left := a.Drops; left > 0; left-- {
		if left <= 1 && p.early > 0 {
			p.to(ev.T) // the first fell early, and the last when it was put on record
		}
		pour.Fall(math.Min(1, left) / a.Drops)
		p.to(math.Min(ev.T, p.b.Time()+pace))
	}
	p.to(ev.T)
	return nil
}

// Named is a fault that the person named, and where it was seen.
type Named struct {
	T     float64
	Name  string
	Right bool
	At    float64 // of the reading or addition pointed at, s; NaN without
	Dose  bool    // it was an addition
	way   Way     // how it shows there
}

// Way is how a fault shows on the meter, beside what a sound bench would show.
type Way string

// Ways. Records of earlier versions do not say.
const (
	Unsaid   Way = ""
	Higher   Way = "higher"
	Lower    Way = "lower"
	Unsteady Way = "unsteady"
)

// Ways are those that a person can choose from, in the order of their numbers.
func Ways() []Way { return []Way{Higher, Lower, Unsteady} }

// FaultCode is the code of the remark that a fault was named, with what shows it:
// a reading of that time, or the addition of that time; NaN for nothing; and in which way.
func FaultCode(fault string, at float64, addition bool, way Way) string {
	if math.IsNaN(at) {
		return faultCode + fault
	}
	mark := "@"
	if addition {
		mark = "+"
	}
	code := fmt.Sprintf("%s%s%s%.1f", faultCode, fault, mark, at)
	if way != Unsaid {
		code += "/" + string(way)
	}
	return code
}

// namedIn is the fault that an event names.
func namedIn(ev journal.Event) (Named, bool) {
	if ev.Remark == nil {
		return Named{}, false
	}
	name, ok := strings.CutPrefix(ev.Remark.Code, faultCode)
	if !ok {
		return Named{}, false
	}
	n := Named{T: ev.T, At: math.NaN()}
	name, way, _ := strings.Cut(name, "/")
	n.way = Way(way)
	for _, sep := range []string{"@", "+"} {
		if head, tail, found := strings.Cut(name, sep); found {
			if _, err := fmt.Sscanf(tail, "%g", &n.At); err != nil {
				n.At = math.NaN()
			}
			name, n.Dose = head, sep == "+"
		}
	}
	n.Name = name
	return n, true
}

// WaySaid is how it was said to show there.
func (n Named) WaySaid() string {
	if n.way == Unsaid {
		return ""
	}
	return " as " + string(n.way)
}

// Left is an exercise that was left before its end, its bench as it stood then.
type Left struct {
	Exercise *Exercise
	Slip     Slip
	Bench    *sim.Bench
	Plate    *Plate
	T        float64         // s of the run, at which it goes on
	Found    map[string]bool // the faults that were named rightly, by their names
}

// TakeUp puts the bench of a run that was left together again, to the last reading:
// its time has stood still meanwhile. A run that was closed is not taken up.
func TakeUp(r *replay.Run) (*Left, error) {
	s, err := SlipOf(r.First)
	if err != nil {
		return nil, err
	}
	e, err := s.Open()
	if err != nil {
		return nil, err
	}
	if r.End().Look(r.Seconds()).Outcome != "" {
		return nil, fmt.Errorf("practice: %w", ErrEnded)
	}
	p, err := e.play(s)
	if err != nil {
		return nil, err
	}
	l := &Left{Exercise: e, Slip: s, Bench: p.b, Plate: p.plate, Found: map[string]bool{}}
	for ev := range r.Others {
		if n, ok := namedIn(ev); ok && e.Has(n.Name) {
			l.Found[n.Name] = true
		}
	}
	p.reads, p.read = e.readTimes(r, s.Every), func(int) { p.b.Read() } // the dice of the noise go on where they stood
	if err := p.whole(r); err != nil {
		return nil, err
	}
	l.T = r.Seconds()
	p.plate.Last = nil // what comes is another log
	return l, nil
}

// ErrEnded is returned for a run that was closed.
var ErrEnded = errors.New("the run was closed")
