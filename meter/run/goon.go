package run

import (
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/view"
)

// offerAge is how long a beaker has been left alone, s, before an addition that is held
// back is offered: earlier, the spread of a reading is not to be trusted that far.
const offerAge = 45.0

// held is what may be given now instead of waiting; nil for nothing.
func (s *State) held(a coach.Advice, est probe.Estimate) *view.Offer {
	if !a.Held() || s.bench.Guide != nil || s.age() < offerAge {
		return nil
	}
	r := s.request(est)
	wait := r.Now.Longest()
	if a.Asking { // not one drop is safe on this reading; one may be for who does not wait for a better
		r.Now.GoOn = true
		if b := s.bench.Advise(r); b.Do == coach.Add {
			a = b
		}
	}
	many := s.uncountable(a)
	if many && s.counts() {
		a, many = s.portion(est, a), false
	}
	if len(a.Mistakes) > 0 || a.Asking || many {
		return &view.Offer{Asks: true, Unsafe: a.Asking, After: math.NaN(), Wait: wait}
	}
	o := view.Offer{Titrant: s.Setup.Stocks[a.Stock].Name, Drops: given.InItsUnit(s.Setup, a).Drops, Volume: a.Volume, After: a.After, Wait: wait}
	return &o
}

// urge notes that a person wants what is safe now; it holds until the beaker changes.
func (s State) urge() State {
	s.urged.on, s.urged.after = true, s.entries.LatestSeq()
	return s
}

// urged is the word of a person, and the addition that it came after.
type urged struct {
	on    bool
	after int64
}

// hurries reports whether a person wants what is safe now, in this composition.
func (s *State) hurries() bool { return s.urged.on && s.urged.after == s.entries.LatestSeq() }
