package run

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/probe/sift"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/electrode"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/scene"
	"example.org/halfdrop/meter/run/still"
	"example.org/halfdrop/meter/run/warmth"
	"example.org/halfdrop/meter/spot"
)

// Errors of events that do not fit the run.
var (
	ErrNothing = errors.New("there is no addition to withdraw")
	ErrEnded   = errors.New("the run has ended")
	ErrOrder   = errors.New("time runs backwards")
	ErrFirst   = errors.New("a run begins with its start event")
)

// State is everything that is known after some events. It is a value: Step
// returns a new one and shares only what neither will change.
type State struct {
	Setup *recipe.Setup
	Start journal.Start
	T     float64 // s, of the latest event
	Seq   int64   // of the latest event

	bench     *coach.Bench
	forecast  coach.Forecast // what the plan alone says at this temperature
	benchTemp chem.Celsius

	entries  given.List
	observed []coach.Observation // of earlier compositions, in terms of additions in force
	said     answers.Book        // what a person has answered to CHECKs
	planned  recipe.Plan         // as it was meant, with the bottles brought since
	advice   *journal.Advice     // the last one since the composition changed
	asks     *question           // a CHECK of the coach that is on the screen; nil before one
	urged    urged               // what is safe now is wanted
	yields   []coach.Yield       // what drops did, as far as it was known when done was said last
	order    order.Standing      // the addition that stands to be carried out, when there is one
	done     *done               // what was read when done was said last; nil when something else was wanted since
	led      bool                // an addition was ordered since the electrode was put in: what moves may be more than the electrode

	track       probe.Tracker // what the readings are worth
	sieve       sift.Sieve    // which of them are wild
	seen        float64       // s, of the latest that the eye has taken
	still       still.Repeats // how long they have repeated one number
	reads       int           // that have come since the latest addition
	recent      still.Recent  // those of the last seconds, where an amount is looked for
	last        reading
	seldom      recorded.Seldom // whether the meter sends only what changes
	unused      recorded.Unused // lines and readings that were not used
	link        journal.Link
	ended       *journal.End
	eye         spot.Eye     // for faults that show in the readings
	stops       *scene.Stops // of the compositions until now
	foretold    scene.Range  // range of pH that the plan allows at the start; NaN when unknown
	remarks     []journal.Remark
	noted       journal.Note       // of the plate
	made        *journal.Making    // the reading after making up; nil before one
	line        electrode.Line     // the calibration that the pH rests on
	away        electrode.Check    // a check in standards, while it goes on
	offered     []string           // standards for a check, by their names
	wall        time.Time          // of the latest event
	begun       float64            // s, when the first reading came
	beyond      float64            // s, since when a reading that hands are kept off ends outside; 0 while it does not
	trusted     bool               // a person has looked at a reading that stands still
	wentAt      float64            // s, when a person said of a reading elsewhere that it is that of the beaker
	putIn       bool               // a person has said that the electrode is in the beaker
	byHand      bool               // a person types what the display shows
	refusals    order.Refusals     // of orders of one bottle, in a row
	thermometer warmth.Thermometer // how warm the beaker is
	shift       warmth.Shift       // what that has done to the readings
	warmer      *coach.Bench       // a degree warmer than the bench, to tell that by; nil before it was needed
	taken       *bench.Taken       // from earlier runs; nil for nothing
	// version counts the events that change more than the present reading.
	version int
}

type reading struct {
	t        float64
	ph       float64
	decimals int
	same     bool // it was not sent: the meter sends only what changes
	any      bool
	back     float64 // s, of the first reading after the latest silence; 0 before one
}

// Open is the state after the start event of a run.
func Open(e journal.Event) (State, error) {
	if e.Kind != journal.Started || e.Start == nil {
		return State{}, fmt.Errorf("run: %w", ErrFirst)
	}
	var p recipe.Plan
	if err := json.Unmarshal(e.Start.Plan, &p); err != nil {
		return State{}, fmt.Errorf("run: plan of the journal: %w", err)
	}
	if n := len(p.Titrants); n > intake.MaxTitrants {
		return State{}, fmt.Errorf("run: plan of the journal: %d titrants; the coach has room for %d", n, intake.MaxTitrants)
	}
	setup, err := recipe.Compile(p)
	if err != nil {
		return State{}, fmt.Errorf("run: plan of the journal: %w", err)
	}
	s := State{Setup: setup, planned: p, Start: *e.Start, T: e.T, Seq: e.Seq, stops: new(scene.Stops)}
	if err := s.takeOver(e.Start.Known); err != nil {
		return State{}, err
	}
	s.track = probe.Track(s.taken.Probe())
	s.thermometer, s.wentAt = warmth.Unread(), math.Inf(-1)
	if err := s.at(setup.BenchTemp); err != nil {
		return State{}, err
	}
	s.eye = spot.Open(e.T)
	s.foretold = scene.Foretell(s.bench)
	s.byHand = recorded.TypedFrom(e.Start.Source)
	return s, nil
}

// at computes the bench anew for a temperature of the beaker.
func (s *State) at(t chem.Celsius) error {
	b, err := s.Setup.Bench(t)
	if err != nil {
		return fmt.Errorf("run: %w", err)
	}
	s.taken.Give(b)
	for j := range b.Stocks {
		if s.said.AmendsStock(b.Stocks[j].Name) {
			b.Stocks[j].Learned = nil
		}
	}
	s.bench, s.forecast, s.benchTemp = b, b.Forecast(), t
	b.Tolerance = s.working()
	s.offer()
	return nil
}

// Step folds an event into the state. An event that does not fit is an error
// and changes nothing.
func Step(s State, e journal.Event) (State, error) {
	next := s
	if err := next.absorb(&e); err != nil {
		return s, fmt.Errorf("run: %w", err)
	}
	return next, nil
}

// absorb is Step in place: what it refuses may have changed the state in part.
func (s *State) absorb(e *journal.Event) (err error) {
	if e.T < s.T {
		return fmt.Errorf("%w: %g s after %g s", ErrOrder, e.T, s.T)
	}
	if e.Kind == journal.Read { // nearly all events are
		err = s.read(e)
	} else {
		*s, err = s.apply(*e)
		s.version++
	}
	s.T, s.Seq, s.wall = e.T, e.Seq, e.At
	return err
}

func (s State) apply(e journal.Event) (State, error) {
	switch e.Kind {
	case journal.Dosing:
		return s.dose(e), nil
	case journal.Added:
		return s.add(e)
	case journal.Declined:
		return s.decline(e), nil
	case journal.Immersed:
		return s.immerse(e), nil
	case journal.Urged:
		return s.urge(), nil
	case journal.Bottled:
		return s.bottled(e)
	case journal.Undone:
		return s.undo(e)
	case journal.Corrected:
		return s.correct(e)
	case journal.Confirmed:
		return s.confirm(), nil
	case journal.Amended:
		return s.amend(e)
	case journal.Advised:
		return s.advised(e), nil
	case journal.LinkChange:
		s.link = *e.Link
	case journal.BadLine:
		s.unused = s.unused.Line(e.T, e.Raw, e.Why, s.link.State == meter.Opening.String())
	case journal.Calibrated:
		return s.calibrate(e)
	case journal.Warmed:
		return s.warmed(e)
	case journal.Checking:
		return s.checking(e)
	case journal.Checked:
		return s.checked(e)
	case journal.Remarked:
		s.remarks = append(slices.Clip(s.remarks), *e.Remark)
	case journal.Noted:
		s.noted = s.noted.With(*e.Note)
	case journal.MadeUp:
		s.made = e.MadeUp
	case journal.Ended:
		s.ended = e.End
	case journal.Gap:
		return s.gap(e), nil
	case journal.Started:
		return s, errors.New("a second start event")
	}
	return s, nil
}

// gap takes a run up again: the readings before it speak of nothing now.
func (s State) gap(e journal.Event) State {
	s.ended, s.advice = nil, nil
	if s.order.Left = s.order.Stands(); s.order.Left { // it may have been given since, or not
		s.order.T, s.order.Was, s.reads = e.T, 0, 0
	}
	s.eye = s.eye.Broken(e.T)
	s.track = probe.Track(s.track.Electrode())
	s.still, s.trusted, s.recent = still.Repeats{}, false, nil
	s.away.BreakOff()
	return s
}

func (s *State) read(e *journal.Event) error {
	r := e.Reading
	if r.Refused != "" {
		s.unused = s.unused.Refuse(e.T, e.Raw, r.Refused)
		return nil
	}
	ph, ok := s.line.PH(r, s.tempOf(r))
	if !ok {
		return errors.New("a reading without a value")
	}
	if s.away.On() {
		return s.readAway(e, ph)
	}
	if !s.last.any {
		s.begun = e.T
	}
	if s.last.any && e.T-s.last.t > s.staleAfter() {
		s.last.back = e.T
	}
	s.last.t, s.last.ph, s.last.any, s.last.same = e.T, ph, true, r.Same
	s.seldom = s.seldom.With(e.T, r, ph)
	s.heard(r)
	digits, resolution := s.line.Fineness(r, s.last.decimals)
	s.last.decimals = digits
	s.unused = s.unused.Used()
	if s.byHand = r.Typed; r.Typed {
		s.readOff(e.T, ph, resolution, r.Stands)
	} else {
		s.measured(r, e.T, ph, resolution)
	}
	s.begins(e.T)
	s.watchEdge(e.T)
	if r.TempC != nil {
		return s.warm(e.T, *r.TempC)
	}
	return nil
}

// measured takes a reading that the meter sent.
func (s *State) measured(r *journal.Reading, t, ph, resolution float64) {
	o := sift.Sample{T: t, PH: ph, Temp: math.NaN()}
	if r.TempC != nil {
		o.Temp = *r.TempC
	}
	var pass []sift.Sample
	if !s.track.Upper(s.plainly(ph)) {
		s.sieve, pass = s.sieve.Push(o)
	}
	s.follow(t, ph, resolution, pass)
	if s.sieve.Many() { // they are the fault
		pass = []sift.Sample{o}
	}
	for _, o := range pass {
		if o.T > s.seen || s.seen == 0 {
			s.see(o)
			s.seen = o.T
		}
	}
}
