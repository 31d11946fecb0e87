package sift

import (
	"math"
	"slices"
)

// Figures of judgement of what is wild, a choice of this project. Seen on open
// recordings when an electrode was touched: 14.5, −0.5 and 1.38 between readings
// of 6 to 7.
const (
	wildBy   = 0.25 // pH from the reading before
	wildMost = 2    // readings in a row that are held back: three are a movement
	wildWait = 11.0 // s for which the first of them is
	sieveOf  = 40   // readings over which what was left out is counted
	sieveFew = 6    // of them that are left out: more are not single ones
)

// Sample is a reading that a sieve lets pass.
type Sample struct {
	T    float64 // s
	PH   float64
	Temp float64 // °C; NaN when it was not sent
}

// Sieve leaves out single and paired wild readings: what is far from the reading
// before, and back there one or two readings later. It is a value: Push returns a new
// one and leaves the old one as it was.
type Sieve struct {
	last   float64 // pH, the latest reading that passed
	any    bool
	held   []Sample
	recent uint64 // one bit a reading: it was left out
	n      int    // readings left out
	at     float64
}

// Push takes a reading and returns those that pass now, in the order in which
// they came: none while it waits for the next one.
func (s Sieve) Push(o Sample) (Sieve, []Sample) {
	s.recent <<= 1
	switch {
	case !s.any || math.Abs(o.PH-s.last) <= wildBy || s.back(o.PH):
		if n := len(s.held); n > 0 {
			s.recent |= (1<<n - 1) << 1
			s.n, s.at, s.held = s.n+n, o.T, nil
		}
		s.any, s.last = true, o.PH
		return s, []Sample{o}
	case len(s.held) >= wildMost || len(s.held) > 0 && o.T-s.held[0].T >= wildWait:
		return s.release(o)
	}
	s.held = append(slices.Clip(s.held), o)
	return s, nil
}

// release lets pass what is held back when a reading shows that it was a movement: what
// lies on the way there. A reading that is far from that, too, is held back in turn.
func (s Sieve) release(o Sample) (Sieve, []Sample) {
	low, high := math.Min(s.last, o.PH)-wildBy, math.Max(s.last, o.PH)+wildBy
	var out []Sample
	for _, h := range s.held {
		if h.PH < low || h.PH > high {
			s.n, s.at = s.n+1, o.T
			continue
		}
		out, s.last = append(out, h), h.PH
	}
	s.held = nil
	if slow := len(out) > 0 && o.T-out[0].T >= wildWait; slow || math.Abs(o.PH-s.last) <= wildBy {
		s.last = o.PH
		return s, append(out, o)
	}
	s.held = []Sample{o}
	return s, out
}

// back reports whether a reading is nearer to where it was than to what is held
// back: a beaker or an electrode that is being changed goes on instead.
func (s *Sieve) back(y float64) bool {
	for _, h := range s.held {
		if math.Abs(y-h.PH) <= math.Abs(y-s.last) {
			return false
		}
	}
	return len(s.held) > 0
}

// Wild is how many readings were left out, and when the last of them was known
// for one, s.
func (s Sieve) Wild() (n int, at float64) { return s.n, s.at }

// Holds reports whether it waits for the next reading to tell.
func (s Sieve) Holds() bool { return len(s.held) > 0 }

// Many reports whether so many readings are left out that they are no single ones:
// something is wrong with electrode, cable or place.
func (s Sieve) Many() bool {
	n := 0
	for w := s.recent & (1<<sieveOf - 1); w != 0; w &= w - 1 {
		n++
	}
	return n > sieveFew
}
