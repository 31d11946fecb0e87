package practice

import (
	"fmt"
	"math"
	"slices"
	"sync"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/sim"
)

// Peer is what somebody else needed on the same bench.
type Peer struct {
	Additions int     `json:"additions"`
	Seconds   float64 `json:"seconds"`
	Arrived   bool    `json:"arrived"`
	Spread    float64 `json:"spread,omitempty"` // relative, of an amount that is looked for
}

// Figures of the peers, a choice of this project.
const (
	mostTime = 3600.0
	mostAdds = 40
	Coarse   = 4.0 // drops of a stock that are worth taking it
)

// sound is the exercise without the faults that a look puts right.
func (e *Exercise) sound() *Exercise {
	return e.but(func(f Fault) bool {
		k, err := sim.FaultOf(f.Name)
		return err != nil || k.Mends || k.Person
	})
}

// Peers are limit and coached, worked out once for each bench.
func (e *Exercise) Peers(s Slip) (limit, coached Peer, err error) {
	key := fmt.Sprintf("%s %d", e.Digest, s.Seed)
	if p, ok := peersKnown.Load(key); ok {
		return p.([2]Peer)[0], p.([2]Peer)[1], nil
	}
	if !e.Determines() {
		if limit, err = e.limit(s.Seed); err != nil {
			return limit, coached, err
		}
	}
	if coached, err = e.coached(s.Seed); err != nil {
		return limit, coached, err
	}
	peersKnown.Store(key, [2]Peer{limit, coached})
	return limit, coached, nil
}

// peersKnown holds the peers of the benches of a class, most of which are alike.
var peersKnown sync.Map

// limit is what nobody can do better: all known but the scatter of drops. A
// dose may pass the tolerance with half a per cent, and the electrode has to
// come close after each, to show what the drops were.
func (e *Exercise) limit(seed uint64) (Peer, error) {
	b, s, err := e.sound().NewBench(seed)
	if err != nil {
		return Peer{}, err
	}
	p := Peer{}
	for t := 1.0; t < mostTime && p.Additions < mostAdds; t++ {
		b.Advance(t)
		if p.Additions > 0 && math.Abs(b.Shown()-b.True()) > s.Tolerance/4 {
			continue
		}
		p.Seconds = t
		if math.Abs(b.MadeUp()-s.Target) <= s.Tolerance {
			p.Arrived = true
			break
		}
		name, drops := known(b, s)
		if drops < 1 {
			break
		}
		if err := b.Dispense(name, drops, 0); err != nil {
			return p, fmt.Errorf("practice: %w", err)
		}
		p.Additions++
	}
	return p, nil
}

// known is the best dose for who knows the bench: of the strongest stock of
// which enough drops are safe, else of the weakest that allows one.
func known(b *sim.Bench, s *recipe.Setup) (name string, drops float64) {
	stocks := slices.Clone(s.Stocks)
	slices.SortStableFunc(stocks, func(x, y recipe.Stock) int { return int(math.Copysign(1, float64(y.Molar)-float64(x.Molar))) })
	for _, st := range stocks {
		if n := b.Safe(st.Name, chem.PH(s.Target), chem.PH(s.Tolerance)); n >= 1 {
			name, drops = st.Name, n
		}
		if drops >= Coarse {
			break
		}
	}
	return name, drops
}

// coached is what somebody needs who does what the coach says, on the bench
// without the faults that a look puts right.
func (e *Exercise) coached(seed uint64) (Peer, error) {
	x := e.sound()
	b, _, err := x.NewBench(seed)
	if err != nil {
		return Peer{}, err
	}
	slip := Slip{Exercise: e.Name, Seed: seed, Coach: Full}
	first, err := Start(x, slip, time.Unix(0, 0), "peer", "")
	if err != nil {
		return Peer{}, err
	}
	at := func(t float64) time.Time { return time.Unix(0, 0).Add(time.Duration(t * float64(time.Second))) }
	k, err := keep.NewKeeper(first, &keep.Discard{}, at)
	if err != nil {
		return Peer{}, fmt.Errorf("practice: %w", err)
	}
	if err := x.TellGiven(k); err != nil {
		return Peer{}, err
	}
	p := Peer{}
	for t := 1.0; t < mostTime && p.Additions < mostAdds; t++ {
		b.Advance(t)
		if err := k.Take(journal.Event{T: t, Kind: journal.Read, Reading: recorded.Reading(b.Sample())}); err != nil {
			return p, fmt.Errorf("practice: %w", err)
		}
		v := k.Look(t)
		p.Seconds = t
		if v.Found != nil {
			p.Spread = v.Found.Relative()
		}
		switch v.Advice.Do {
		case coach.Stop:
			p.Arrived = true
			return p, nil
		case coach.Check:
			err = k.Take(journal.Event{T: t, Kind: journal.Confirmed})
		case coach.Add:
			p.Additions++
			if err = k.Take(journal.Event{T: t, Kind: journal.Added, Added: &journal.Addition{Titrant: v.Titrant, Drops: v.Advice.Drops, ML: v.Advice.Volume.Millilitres()}}); err == nil {
				err = b.Dispense(v.Titrant, v.Advice.Drops, v.Advice.Volume)
			}
		}
		if err != nil {
			return p, fmt.Errorf("practice: %w", err)
		}
	}
	return p, nil
}

// TellGiven records in a run what was in the beaker when the person came.
func (e *Exercise) TellGiven(k *keep.Keeper) error {
	for _, g := range e.Given {
		a, err := k.State.Addition(g.Titrant, g.Drops, 0)
		if err == nil {
			err = k.Take(journal.Event{T: k.State.T, Kind: journal.Added, Added: &a})
		}
		if err != nil {
			return fmt.Errorf("practice: %w", err)
		}
	}
	return nil
}
