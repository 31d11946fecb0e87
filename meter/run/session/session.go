package session

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/view"
)

// Dispenser takes part in additions: the simulated bench, whose beaker gets
// what the person says was added. A real bench has none.
type Dispenser interface {
	// Dispense adds to the beaker; drops is 0 when a volume was measured.
	Dispense(titrant string, drops float64, v chem.Volume) error
	// Retract takes back what Dispense added last of it: it was mis-keyed.
	Retract(titrant string, drops float64, v chem.Volume) error
}

// Session is a run in time: a source of readings, a clock and a person around
// a Keeper. One goroutine, that of Run, owns the state.
type Session struct {
	keeper *keep.Keeper
	source meter.Source
	now    func() float64
	bench  Dispenser
	Recall brought.Recall // what earlier runs have shown of a bottle that is brought; nil for nothing

	mu      sync.Mutex
	intents []intent.Intent
	wake    chan struct{}
	views   chan view.View
	last    view.View
	heard   bool // a report has come since the last tick
	said    []intent.Answer
	giving  *giving // into a simulated beaker; nil when nothing falls

	wall   func() time.Time // nil when nobody looks at it
	ahead  time.Duration    // of the wall clock before the run's own
	looked bool             // ahead is known
}

// NewSession prepares a run. now is the run time in seconds, which the
// readings' own times must follow; bench may be nil.
func NewSession(k *keep.Keeper, src meter.Source, now func() float64, bench Dispenser) *Session {
	return &Session{keeper: k, source: src, now: now, bench: bench, wake: make(chan struct{}, 1), views: make(chan view.View, 1)}
}

// Post hands over what a person wants. It never blocks and never loses one;
// they are carried out in the order in which they came.
func (s *Session) Post(in intent.Intent) {
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
func (s *Session) Views() <-chan view.View { return s.views }

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
			s.takeWaiting(reports) // what was read before a key counts before it
			s.carryOut()
		case <-tick.C:
			s.watchClock()
			s.unsent()
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

// unsent takes what a meter shows that sends only what changes, and is silent.
func (s *Session) unsent() {
	t := s.now()
	if r, ok := s.keeper.State.Unsent(t); ok {
		if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Read, Reading: &r}); err != nil {
			s.answer(intent.Intent{}, "", err)
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
		e.Kind, e.Reading, e.Raw = journal.Read, recorded.Reading(r.Reading), r.Reading.Raw
	case meter.GotBadLine:
		e.Kind, e.Raw, e.Why = journal.BadLine, r.Text, whyBad(r.Err)
	case meter.GotLink:
		e.Kind, e.Link = journal.LinkChange, &journal.Link{State: r.Link.String(), Note: r.Text, Poor: (r.Link == meter.Live || r.Link == meter.Quiet) && r.Err != nil}
	}
	if err := s.keeper.Take(e); err != nil {
		s.answer(intent.Intent{}, "", err)
	}
}

// whyBad is why a line is no reading, in words.
func whyBad(err error) string {
	if err == nil {
		return ""
	}
	return strings.TrimPrefix(err.Error(), meter.ErrNotReading.Error()+": ")
}

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
	s.keeper.State.Draw(&v, old)
	select {
	case untaken := <-s.views:
		v.Answers = untaken.Answers
	default:
	}
	v.Answers = append(v.Answers, s.said...)
	s.said, s.last = nil, v
	s.views <- v
}
