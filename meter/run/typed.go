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

// Stands reports whether the present reading was said to stand.
func (s State) Stands() bool { return s.track.Stands() }

// next is when a value is wanted.
func (s *State) next(a coach.Advice, est probe.Estimate, now float64) *view.Next {
	if !s.byHand {
		return nil
	}
	w := typed.Wanted{Away: s.away.On(), Back: s.away.On() && s.away.Back(), Waits: a.Do == coach.Wait, HandsOff: a.Reason == coach.HandsOff,
		Nothing: !s.last.any || a.Reason == coach.Stale || a.Reason == coach.Faulty,
		Unread:  s.track.Unread(), Stands: s.track.Stands(), From: s.begun, Last: s.last.t, Tau: est.Tau}
	if en, ok := s.Latest(); ok {
		w.From = en.T
	}
	return w.Next(now)
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
