package run

import (
	"context"
	"fmt"
	"math"
	"sync"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
)

// IntentKind is what a person can want of a run.
type IntentKind uint8

const (
	// WantAdd records an addition that was made.
	WantAdd IntentKind = iota
	// WantUndo withdraws the latest addition in force.
	WantUndo
	// WantConfirm answers a check: with a Code, that this is it; without, that it was
	// looked at and is as planned. ML is a new mark, where one is asked for.
	WantConfirm
	// WantRemark records words.
	WantRemark
	// WantEnd closes the run.
	WantEnd
	// WantCorrect restates an addition: another count, titrant or both.
	WantCorrect
	// WantDose says that the drops of the order fall: so many until now.
	WantDose
	// WantDecline says that nothing of the order was given.
	WantDecline
	// WantImmersed says that the electrode is in the beaker now.
	WantImmersed
	// WantBottle brings another titrant to the plate.
	WantBottle
	// WantRead takes a value that was read off the display and typed.
	WantRead
	// WantWarm says how warm the beaker is, by a thermometer.
	WantWarm
	// WantCheck is a step of a check of the electrode in standards; Code says which.
	WantCheck
	// WantUnamend withdraws an amendment of the plan: that of Code, else the latest.
	WantUnamend
	// WantNote puts on record what was weighed, a lot, or a name: see ParseNote.
	WantNote
)

// Intent is something a person wants.
type Intent struct {
	ID      int64 // of the front end, rising; comes back in View.Heard and in the Answer
	Kind    IntentKind
	Titrant string  // for WantAdd and WantDose; for WantCorrect empty when it was the right one
	Drops   float64 // for WantAdd, WantCorrect and WantDose, in drops
	ML      float64 // the same in mL when Drops is 0; both 0 correct the titrant alone
	Text    string  // remark, reason of an undo or correction, outcome of an end, a bottle as ParseBottle reads it, standards to check in
	Seq     int64   // for WantCorrect, Entry.Seq of the addition; 0 for the latest in force
	Code    string  // for WantRemark: what the person did, for programs; the text is the answer then; for WantConfirm and WantUnamend: of what; for WantCheck a step of the journal
	Sure    bool    // the amount, or the value, was asked about, and it is meant

	PH       float64 // for WantRead, with the digits that were typed
	Decimals int
	Stands   bool    // the display stands at it
	TempC    float64 // for WantWarm, °C
}

// Dispenser takes part in additions: the simulated bench, whose beaker gets
// what the person says was added. A real bench has none.
type Dispenser interface {
	// Dispense adds to the beaker; drops is 0 when ml was measured.
	Dispense(titrant string, drops, ml float64) error
	// Retract takes back what Dispense added last of it: it was mis-keyed.
	Retract(titrant string, drops, ml float64) error
}

// Session is a run in time: a source of readings, a clock and a person around
// a Keeper. One goroutine, that of Run, owns the state.
type Session struct {
	keeper *Keeper
	source meter.Source
	now    func() float64
	bench  Dispenser
	Recall Recall // what earlier runs have shown of a bottle that is brought; nil for nothing

	mu      sync.Mutex
	intents []Intent
	wake    chan struct{}
	views   chan View
	last    View
	heard   bool // a report has come since the last tick
	said    []Answer
	giving  *giving // into a simulated beaker; nil when nothing falls

	wall   func() time.Time // nil when nobody looks at it
	ahead  time.Duration    // of the wall clock before the run's own
	looked bool             // ahead is known
}

// NewSession prepares a run. now is the run time in seconds, which the
// readings' own times must follow; bench may be nil.
func NewSession(k *Keeper, src meter.Source, now func() float64, bench Dispenser) *Session {
	return &Session{keeper: k, source: src, now: now, bench: bench, wake: make(chan struct{}, 1), views: make(chan View, 1)}
}

// Post hands over what a person wants. It never blocks and never loses one;
// they are carried out in the order in which they came.
func (s *Session) Post(in Intent) {
	s.mu.Lock()
	s.intents = append(s.intents, in)
	s.mu.Unlock()
	select {
	case s.wake <- struct{}{}:
	default:
	}
}

// Views delivers the latest view; one that nobody took is replaced by the next.
// The channel is closed when Run returns.
func (s *Session) Views() <-chan View { return s.views }

// lookEvery is how often the view is made anew for readings: often enough for an
// eye, seldom enough for a battery, and also without a reading, so that a silent
// meter shows. What a person does shows at once.
const lookEvery = 250 * time.Millisecond

// Run owns the run until ctx ends, the run is closed or the source gives up.
func (s *Session) Run(ctx context.Context) error {
	ctx, cancel := context.WithCancel(ctx)
	reports := make(chan meter.Report, 64)
	failed := make(chan error, 1)
	go func() { failed <- s.source.Run(ctx, reports) }()
	defer func() {
		cancel()
		for range drain(reports, failed) {
		}
		close(s.views)
	}()
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	var drip <-chan time.Time
	if s.drips() {
		t := time.NewTicker(dripLook)
		defer t.Stop()
		drip = t.C
	}
	s.publish()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case err := <-failed:
			failed <- err
			return fmt.Errorf("run: %s: %w", s.source, err)
		case r := <-reports:
			s.report(r)
			s.takeWaiting(reports)
			if r.Kind != meter.GotLink {
				continue // shown at the next tick
			}
		case <-drip:
			if s.giving == nil || !s.giving.told {
				continue
			}
			in := s.giving.in
			s.answer(in, "", s.drip(s.now()))
		case <-s.wake:
			s.carryOut()
		case <-tick.C:
			s.watchClock()
			s.rest()
		}
		s.publish()
		if s.last.Outcome != "" {
			return nil
		}
	}
}

// drain lets a source that is blocked on sending come to its end.
func drain(reports <-chan meter.Report, failed <-chan error) <-chan struct{} {
	done := make(chan struct{})
	go func() {
		defer close(done)
		for {
			select {
			case <-reports:
			case <-failed:
				return
			}
		}
	}()
	return done
}

// takeWaiting folds what has piled up, so that a fast meter does not cost a
// view for each reading.
func (s *Session) takeWaiting(reports <-chan meter.Report) {
	for range 256 {
		select {
		case r := <-reports:
			s.report(r)
		default:
			return
		}
	}
}

// rest lets the log use a pause of the meter.
func (s *Session) rest() {
	if !s.heard {
		s.keeper.Sync()
	}
	s.heard = false
}

func (s *Session) report(r meter.Report) {
	s.heard = true
	e := journal.Event{T: s.now()}
	switch r.Kind {
	case meter.GotReading:
		e.Kind, e.Reading, e.Raw = journal.Read, Recorded(r.Reading), r.Reading.Raw
	case meter.GotBadLine:
		e.Kind, e.Raw, e.Why = journal.BadLine, r.Text, whyBad(r.Err)
	case meter.GotLink:
		e.Kind, e.Link = journal.LinkChange, &journal.Link{State: r.Link.String(), Note: r.Text, Poor: (r.Link == meter.Live || r.Link == meter.Quiet) && r.Err != nil}
	}
	if err := s.keeper.Take(e); err != nil {
		s.answer(Intent{}, "", err)
	}
}

func (s *Session) carryOut() {
	s.mu.Lock()
	list := s.intents
	s.intents = nil
	s.mu.Unlock()
	for _, in := range list {
		text, err := s.do(in)
		s.answer(in, text, err)
		s.last.Heard = max(s.last.Heard, in.ID)
	}
}

func (s *Session) do(in Intent) (string, error) {
	t := s.now()
	switch in.Kind {
	case WantAdd:
		return s.add(in, t)
	case WantUndo:
		return s.undo(in, t)
	case WantConfirm:
		return s.confirm(in, t)
	case WantCorrect:
		return s.correct(in, t)
	case WantRemark:
		return remarked(in), s.keeper.Take(journal.Event{T: t, Kind: journal.Remarked, Remark: &journal.Remark{Text: in.Text, Code: in.Code}})
	case WantEnd:
		if err := s.finish(t); err != nil {
			return "", err
		}
		return "", s.keeper.Take(s.keeper.State.Ending(t, in.Text))
	case WantDose:
		if err := s.dose(t); err != nil {
			return "", err
		}
		return "", s.letFall(in)
	case WantDecline:
		return s.decline(t)
	case WantImmersed:
		if d, ok := s.bench.(Dipper); ok && s.keeper.State.Away() {
			d.Back()
		}
		return "noted: the electrode is in the beaker now", s.keeper.Immerse(t)
	case WantWarm:
		temp := in.TempC
		return fmt.Sprintf("the beaker is at %.1f °C", temp), s.keeper.Take(journal.Event{T: t, Kind: journal.Warmed, TempC: &temp})
	case WantCheck:
		return "", s.check(in, t)
	case WantUnamend:
		return s.take(s.keeper.State.Unamending(t, in.Code))
	case WantNote:
		return s.note(in, t)
	case WantBottle:
		return s.bottle(in, t)
	case WantRead:
		return s.read(in, t)
	}
	return "", nil
}

func (s *Session) add(in Intent, t float64) (string, error) {
	if s.giving != nil && s.giving.told {
		return "", errFalling
	}
	a, err := s.keeper.State.Addition(in.Titrant, in.Drops, in.ML)
	if err != nil {
		return "", err
	}
	if d := s.keeper.State.Doubt(a, nil); d != nil && !in.Sure {
		return "", d
	}
	if s.drips() && a.Drops > 0 {
		return "", s.give(in, a, t)
	}
	if err := s.record(in, t); err != nil || s.bench == nil {
		return "", err
	}
	return "", s.bench.Dispense(a.Titrant, a.Drops, a.ML)
}

// record puts an addition on record that is in the beaker, and says so.
func (s *Session) record(in Intent, t float64) error {
	a, err := s.keeper.State.Addition(in.Titrant, in.Drops, in.ML)
	if err != nil {
		return err
	}
	if err := s.keeper.Take(s.keeper.State.Dated(journal.Event{T: t, Kind: journal.Added, Added: &a})); err != nil {
		return err
	}
	e := s.keeper.State.entries[len(s.keeper.State.entries)-1]
	s.answer(in, "recorded: "+Amount(e.Drops, e.Volume)+" of "+a.Titrant, nil)
	return nil
}

// dose notes that the first drop of the order falls; the next ones say nothing new.
func (s *Session) dose(t float64) error {
	if err := s.keeper.State.CanDose(); err != nil || s.keeper.State.order.dosed > 0 {
		return err
	}
	return s.keeper.Take(journal.Event{T: t, Kind: journal.Dosing})
}

func (s *Session) decline(t float64) (string, error) {
	if err := s.keeper.State.CanDose(); err != nil {
		return "", err
	}
	if s.giving != nil {
		if s.giving.told {
			return "", errFalling
		}
		if err := s.takeBack(); err != nil {
			return "", err
		}
	}
	return "noted: nothing of it was given", s.keeper.Take(journal.Event{T: t, Kind: journal.Declined})
}

func (s *Session) undo(in Intent, t float64) (string, error) {
	if s.giving != nil && s.giving.told {
		return "", errFalling
	}
	e, ok := s.keeper.State.Latest()
	if !ok {
		return "", ErrNothing
	}
	if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Undone, Undo: &journal.Undo{Seq: e.Seq, Reason: in.Text}}); err != nil {
		return "", err
	}
	name := s.keeper.State.Setup.Stocks[e.Stock].Name
	if s.bench != nil {
		if err := s.bench.Retract(name, e.Drops, e.Volume.Millilitres()); err != nil {
			return "", err
		}
	}
	return "withdrawn: " + Amount(e.Drops, e.Volume) + " of " + name, nil
}

// remarked is what a person is told of a remark.
func remarked(in Intent) string {
	if in.Code != "" {
		return in.Text
	}
	return "remark recorded"
}

// Latest is the latest addition in force.
func (s State) Latest() (Entry, bool) {
	for i := len(s.entries) - 1; i >= 0; i-- {
		if !s.entries[i].Undone {
			return s.entries[i], true
		}
	}
	return Entry{}, false
}

// Addition is what the journal records for drops, or for mL when drops is 0,
// of a titrant of the plan.
func (s State) Addition(titrant string, drops, ml float64) (journal.Addition, error) {
	a := journal.Addition{Titrant: titrant, Drops: drops, ML: ml}
	e, err := s.entry(a)
	if err != nil {
		return a, fmt.Errorf("run: %w", err)
	}
	a.ML = round(e.Volume.Millilitres(), 6)
	return a, nil
}

// curvePoints is how many points of the curve a view carries.
const curvePoints = 161

// publish makes the view anew and puts it where the front end finds it. Of one
// that nobody took the answers go over to the next: none is ever lost.
func (s *Session) publish() {
	old := s.last
	v := s.keeper.Look(s.now())
	v.Heard = old.Heard
	if s.giving != nil && s.giving.told {
		g := s.giving.Giving
		v.Giving = &g
	}
	if v.Curve = old.Curve; v.Version != old.Version || v.Curve == nil {
		v.Curve = s.keeper.State.Curve(v.span())
	}
	select {
	case untaken := <-s.views:
		v.Answers = untaken.Answers
	default:
	}
	v.Answers = append(v.Answers, s.said...)
	s.said, s.last = nil, v
	s.views <- v
}

// span is the range of labelled charge worth drawing.
func (v View) span() (from, to float64, n int) {
	to = 1.25 * v.Aimed
	if math.Abs(v.Charge) > math.Abs(to)*0.95 {
		to = 1.25 * v.Charge
	}
	if to == 0 {
		to = 1e-6
	}
	return 0, to, curvePoints
}
