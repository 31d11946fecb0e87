package run

import (
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
)

// Offer is what may be done already, while a better reading is waited for that would make
// it surer: an addition that is safe, or a question about what is in the beaker.
type Offer struct {
	Asks    bool // a question; there is no addition then
	Unsafe  bool // with Asks: nothing is safe yet; the coach goes by the reading as it is then
	Titrant string
	Drops   float64     // 0 where it is given in mL
	Volume  chem.Volume //
	After   float64     // pH that it is expected to end at
	Wait    float64     // s that the better reading is waited for at most
}

// offerAge is how long a beaker has been left alone, s, before an addition that is held
// back is offered: earlier, the spread of a reading is not to be trusted that far.
const offerAge = 45.0

// held is what may be given now instead of waiting; nil for nothing.
func (s *State) held(a coach.Advice, est probe.Estimate) *Offer {
	if !a.Held() || s.bench.Guide != nil || s.age() < offerAge {
		return nil
	}
	wait := s.request(est).Now.Longest()
	if len(a.Mistakes) > 0 || a.Asking {
		return &Offer{Asks: true, Unsafe: a.Asking, After: math.NaN(), Wait: wait}
	}
	o := Offer{Titrant: s.Setup.Stocks[a.Stock].Name, Drops: s.inItsUnit(a).Drops, Volume: a.Volume, After: a.After, Wait: wait}
	return &o
}

// urge notes that a person wants what is safe now; it holds until the beaker changes.
func (s State) urge() State {
	s.urged.on, s.urged.after = true, s.latestSeq()
	return s
}

// urged is the word of a person, and the addition that it came after.
type urged struct {
	on    bool
	after int64
}

// hurries reports whether a person wants what is safe now, in this composition.
func (s *State) hurries() bool { return s.urged.on && s.urged.after == s.latestSeq() }

// latestSeq is the latest addition in force; 0 before one.
func (s *State) latestSeq() int64 {
	if en, ok := s.Latest(); ok {
		return en.Seq
	}
	return 0
}

// ErrNothingHeld says that no addition is held back for a better reading.
var ErrNothingHeld = errors.New("nothing is held back now: there is nothing to give before a better reading")

// Urging is the event by which what is safe now is given, at time t; ErrNothingHeld
// where nothing is.
func (s State) Urging(t float64) (journal.Event, error) {
	if s.Look(t).Offer == nil {
		return journal.Event{}, ErrNothingHeld
	}
	return journal.Event{T: t, Kind: journal.Urged}, nil
}

// surer is what a better reading is waited for, how long, and what to do instead.
func (v View) surer() string {
	o := v.Offer
	switch {
	case o == nil && v.ByHand:
		return "; a better value makes the next step surer"
	case o == nil:
		return "; a better reading makes the next step surer"
	}
	within := fmt.Sprintf("; up to %.0f min for a better one", math.Ceil(math.Max(o.Wait, 1)/60))
	if o.Unsafe {
		return within + "; not one drop is safe yet. g: go by this one"
	}
	if o.Asks {
		return within + ", which is not what the plan predicts. g: ask it now"
	}
	return fmt.Sprintf("%s. g: go ahead with %s of %s", within, Amount(o.Drops, o.Volume), o.Titrant)
}
