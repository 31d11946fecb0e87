package run

import (
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/typed"
	"example.org/halfdrop/meter/run/view"
)

// Figures of judgement of values that are typed, a choice of this project.
const (
	readStale  = 300.0 // s, how old a value may be to add on it
	readFirst  = 20.0  // s after an addition, the soonest that a value is wanted
	readLatest = 60.0  // and the latest
	readAgain  = 20.0  // s from one value to the next of the same composition
	readCreep  = 40.0  // s to the next one when it stands, and creeps unseen
	readMixing = 8.0   // s for an addition to mix in
	readTaus   = 4.0   // time constants of the electrode that are worth waiting for
)

// Stands reports whether the present reading was said to stand.
func (s State) Stands() bool { return s.track.Stands() }

// next is when a value is wanted.
func (s *State) next(a coach.Advice, est probe.Estimate, now float64) *view.Next {
	if s.byHand && s.away.On() && !s.away.Back() {
		return &view.Next{Stands: true}
	}
	if !s.byHand || a.Do != coach.Wait || s.away.On() {
		return nil
	}
	switch {
	case !s.last.any || a.Reason == coach.Stale || a.Reason == coach.Faulty:
		return &view.Next{}
	case s.track.Unread():
		from := s.begun
		if en, ok := s.Latest(); ok {
			from = en.T
		}
		wait := math.Ceil((readMixing+readTaus*est.Tau)/view.ToldStep) * view.ToldStep
		return &view.Next{In: from + min(max(wait, readFirst), readLatest) - now, Mixing: true}
	}
	if s.track.Stands() && a.Reason != coach.HandsOff {
		return &view.Next{In: s.last.t + readCreep - now, Creeps: true}
	}
	return &view.Next{In: s.last.t + readAgain - now, Stands: a.Reason == coach.HandsOff}
}

// readOff takes a typed value.
func (s *State) readOff(t, ph, resolution float64, stands bool) {
	if !s.still.Repeated(ph) && s.unmoved() {
		s.track = s.track.Immerse(t)
	}
	s.still.Push(t, ph)
	s.recall(t, ph)
	s.track = s.track.Resolve(resolution).Type(t, ph, stands)
	s.version++
}

// Slip says what is odd about a typed value, nil when nothing is.
func (s State) Slip(t float64, v typed.Value) *intent.Slip {
	due := s.due(t)
	if s.away.On() {
		due.SD = math.Inf(1) // the standard asks
	}
	return typed.Slip(v, due)
}

// due is where the reading should be now, and between what it is on its way there.
func (s *State) due(t float64) typed.Due {
	nowhere := math.NaN()
	if !s.last.any {
		low, high := s.foretold.Low, s.foretold.High
		return typed.Due{PH: (low + high) / 2, SD: math.Max((high-low)/4, typed.VagueSD/2), From: nowhere, To: nowhere}
	}
	est := s.estimate(t)
	if en, ok := s.Latest(); ok && s.track.Unread() && en.Before.State != probe.Empty {
		after, low, high := s.landing(en.Before, &en)
		return typed.Due{PH: after, SD: (high - low) / 4, From: en.Before.End, To: after}
	}
	due := typed.Due{PH: est.Now, SD: math.Hypot(est.SD, est.End-est.Now), From: s.last.ph, To: est.End}
	if s.track.Stands() {
		due.From, due.To = nowhere, nowhere
	}
	return due
}

// ErrTemp is a temperature that no beaker on a bench has.
var ErrTemp = errors.New("is not the temperature of a beaker on a bench, 0.5 to 60 °C")

// warmed takes the temperature of the beaker that a person has read off a
// thermometer. It counts until another one comes; one that a meter sends goes first.
func (s State) warmed(e journal.Event) (State, error) {
	t := *e.TempC
	_, sent := s.thermometer.Sent()
	switch {
	case !recorded.OnBench(t):
		return s, fmt.Errorf("%g °C %w", t, ErrTemp)
	case sent:
		return s, errors.New("the meter sends a temperature, which counts")
	}
	s.thermometer.Tell()
	return s, s.at(chem.Celsius(phrase.Decimals(t, 1)))
}
