package run

import (
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// question is a CHECK of the coach that is on the screen: since when, s, and on what
// reading it was first asked.
type question struct {
	t   float64
	est probe.Estimate
}

// asksFor is how long a question of the coach stays, s, when the coach would rather wait
// now: at the edge of asking, it would else come and go before anybody has read it. An
// addition, the end, or an answer ends it at once.
const asksFor = 20.0

// stillAsked keeps a CHECK on the screen until it is answered: a reading that is a
// little vaguer, or a suspicion a little weaker for a second, is no answer.
func (s *State) stillAsked(est probe.Estimate, a coach.Advice) coach.Advice {
	if a.Do != coach.Wait || a.Reason != coach.Settling && a.Reason != coach.HandsOff || !s.isAsked() {
		return a
	}
	r := s.request(est)
	r.Now.Settled, r.Now.Stands = true, true
	if b := s.countable(est, s.bench.Advise(r)); b.Do == coach.Check && b.Reason.String() == s.advice.Reason {
		return b
	}
	if s.T-s.asks.t >= asksFor || s.track.Changing() {
		return a
	}
	if b := s.countable(s.asks.est, s.bench.Advise(s.request(s.asks.est))); b.Do == coach.Check && b.Reason.String() == s.advice.Reason {
		return b
	}
	return a
}

// suspected are the mistakes that the coach has in mind now, by their codes.
func (s *State) suspected() []string {
	var v view.View
	if a := s.advise(&v, s.estimate(s.T), s.T); a.Do == coach.Check && a.Reason == coach.Mistaken {
		return a.Codes()
	}
	return nil
}

// isAsked reports whether a CHECK is on the screen.
func (s *State) isAsked() bool { return s.advice != nil && s.advice.Do == coach.Check.String() }
