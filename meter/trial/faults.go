package trial

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/spot"
)

// Figures of the person who is watched, a choice of this project: careful,
// with half of the advised dose at a time, and a look at the end.
const (
	lookEvery = 3.0   // s between two looks
	looksFor  = 30.0  // s after an addition, at least
	restsAt   = 0.008 // pH, the spread of a reading that is taken
	losesAt   = 100.0 // s after which an unsettled reading is taken
	staysFor  = 200.0 // s after the aim was reached
	looksAway = 3     // additions, after which the person looks away for once
	awayFor   = 120.0 // s
	watchTime = 1500.0
	watchAdds = 25
	firstOn   = 60.0 // s, the earliest onset of what begins during a run
	lastOn    = 140.0
)

// Sight is what became of one run with a fault.
type Sight struct {
	Seed  uint64
	Fault string // empty for a sound bench
	Named spot.Fault
	Also  []spot.Fault // named as alike
	T     float64      // s, when it was named
	Onset float64
	Words string
	// Advice is what the coach said at that moment: add, wait, stop, check.
	Advice string
}

// begins are the faults that can begin in the middle of a run; those that only
// make sense so are marked: a noise that was there from the start is that of the
// sensor.
var begins = map[string]bool{"vortex": true, "dry_tip": false, "lead": false, "cracked": true, "wiped": true, "unlogged": true, "missed": false, "hole": false, "unstirred": false, "zones": false}

// strengths are other than the usual one where that does not show: carbon
// dioxide moves only thin, basic beakers, and those only when stirred hard.
var strengths = map[string]float64{"co2": 5}

// WithFault draws the bench of a seed with a fault on which it can show; an
// empty name is a sound bench.
func WithFault(tier Tier, name string, seed uint64) (*Bench, float64, error) {
	for try := range uint64(2000) {
		b, err := Draw(tier, seed+try*1_000_003)
		if err != nil {
			return nil, 0, err
		}
		b.Truth.Faults, b.Gross = nil, Sound
		if name == "" {
			return b, 0, nil
		}
		r := rand.New(rand.NewPCG(b.Seed, 0xfa17))
		f := sim.Fault{Name: name, Strength: strengths[name]}
		if only, ok := begins[name]; ok && (only && name != "cracked" || r.IntN(2) == 0) {
			f.Onset = math.Round(firstOn + (lastOn-firstOn)*r.Float64())
		}
		b.Truth.Faults = []sim.Fault{f}
		if k, err := sim.FaultOf(name); err == nil && k.Person {
			b.Truth.Faults = nil
		}
		if b.shows(name) {
			b.Seed = seed
			return b, f.Onset, nil
		}
	}
	return nil, 0, fmt.Errorf("trial: %s, seed %d: %w", name, seed, ErrNoBench)
}

// shows reports whether a fault can show on the bench at all: what is there
// must be of a size that a meter of two decimals sees.
func (b *Bench) shows(name string) bool {
	s, err := sim.New(b.Setup, b.Truth)
	if err != nil {
		return false
	}
	switch name {
	case "co2": // 0.02 pH a minute at the target
		s.Advance(1)
		if v := s.Need(b.Setup.Stocks[coarse].Name, b.Setup.Target); v > 0 {
			s.Dispense(b.Setup.Stocks[coarse].Name, math.Max(1, math.Floor(v/b.Setup.Stocks[coarse].Drop.Litres())), 0)
		}
		s.Advance(60)
		from := s.True()
		s.Advance(120)
		return from-s.True() >= 0.02
	case "dropper", "weak_titrant", "half_buffer": // a factor that ordinary care does not make
		k := map[string]float64{"dropper": 1.5, "weak_titrant": 0.5, "half_buffer": 2}[name]
		k *= b.Brings()
		return k >= 1.38 || k <= 0.64
	case "hung": // one drop of forty or fewer in all
		return b.Drops <= 40
	case "carry_over": // a tenth of a pH after half a minute
		return math.Abs(s.True()-b.Truth.Before) >= 0.8
	case "unlogged": // eight drops that move it by 0.1 at the start or at the target
		sound := b.Truth
		sound.Faults = nil
		clean, err := sim.New(b.Setup, sound)
		if err != nil {
			return false
		}
		for t := firstOn; t <= lastOn+30; t++ { // second by second, as a person sees it
			clean.Advance(t)
			s.Advance(t)
		}
		return math.Abs(clean.True()-s.True()) >= 0.1
	}
	return true
}

// Watch plays the bench with a careful person until something is named; with
// hasty additions when the fault is the person's own.
func Watch(b *Bench, fault string, onset float64) (Sight, error) {
	k, err := keeper(b, nil)
	if err != nil {
		return Sight{}, err
	}
	g, err := newGame(b, k.State.Forecast().Aim, limits{watchAdds, watchTime}, nil)
	if err != nil {
		return Sight{}, err
	}
	w := watched{game: g, keeper: k, sight: Sight{Seed: b.Seed, Fault: fault, Onset: onset}, hasty: fault == "early"}
	for !g.over() && !w.done() {
		if err := w.second(); err != nil {
			return Sight{}, err
		}
	}
	return w.sight, nil
}

// watched is a person at a bench whose faults are looked for.
type watched struct {
	*game
	keeper  *keep.Keeper
	touched float64
	stopped float64 // since when the aim has been reached; 0 when it has not
	hasty   bool
	sight   Sight
}

func (w *watched) done() bool {
	return w.sight.Named != "" || w.stopped > 0 && w.t-w.stopped >= staysFor && w.t > w.sight.Onset+staysFor
}

func (w *watched) second() error {
	w.game.second()
	if err := w.keeper.Take(journal.Event{T: w.t, Kind: journal.Read, Reading: recorded.Reading(w.sim.Sample())}); err != nil {
		return fmt.Errorf("trial: seed %d: %w", w.bench.Seed, err)
	}
	if w.hasty && w.out.Additions < 5 {
		if w.t-w.touched >= 5 {
			return w.give(coarse, math.Max(1, math.Round(w.bench.Drops/8)))
		}
		return nil
	}
	if math.Mod(w.t, lookEvery) != 0 {
		return nil
	}
	v := w.keeper.Look(w.t)
	if len(v.Spotted) > 0 {
		f := v.Spotted[0]
		w.sight.Named, w.sight.Also, w.sight.T, w.sight.Words = f.Fault, f.Or, w.t, f.Words()
		w.sight.Advice = v.Advice.Do.String()
		return nil
	}
	if v.Advice.Reason == coach.Unsaid && w.giving == nil { // asked what fell, a person knows: nothing, or what was not recorded
		if w.sight.Fault != string(spot.Unlogged) || w.t < w.sight.Onset {
			return w.keeper.Take(journal.Event{T: w.t, Kind: journal.Declined})
		}
		w.sight.Named, w.sight.T, w.sight.Words, w.sight.Advice = spot.Unlogged, w.t, v.Sentence(), v.Advice.Do.String()
		return nil
	}
	rested := v.Settling.State == probe.Settled || v.Settling.SD < restsAt || w.t-w.touched > losesAt
	if w.t-w.touched < looksFor || !rested {
		return nil
	}
	if w.busy() {
		return nil
	}
	switch v.Advice.Do {
	case coach.Stop:
		if w.stopped == 0 {
			w.stopped = w.t
		}
	case coach.Check:
		return w.keeper.Take(journal.Event{T: w.t, Kind: journal.Confirmed})
	case coach.Add:
		return w.give(v.Advice.Stock, math.Ceil(v.Advice.Drops/2))
	}
	return nil
}

// busy reports whether the hands are elsewhere: once in a run the person looks
// away for a while, and nobody drips while the electrode is being wiped.
func (w *watched) busy() bool {
	if w.out.Additions == looksAway && w.t-w.touched < awayFor {
		return true
	}
	return (w.sight.Fault == "wiped" || w.sight.Fault == "unlogged") && w.t > w.sight.Onset-15 && w.t < w.sight.Onset+25
}

func (w *watched) give(stock int, drops float64) error {
	a, err := w.keeper.State.Addition(w.bench.Setup.Stocks[stock].Name, drops, 0)
	if err != nil {
		return fmt.Errorf("trial: seed %d: %w", w.bench.Seed, err)
	}
	if err := w.pour(stock, drops); err != nil {
		return err
	}
	w.touched = w.t
	return w.keeper.Take(journal.Event{T: w.t, Kind: journal.Added, Added: &a})
}

// WatchAll watches so many runs with each fault and so many sound ones.
func WatchAll(ctx context.Context, tier Tier, faults []string, runs, sound int, seed uint64, workers int, progress func(done, total int)) ([]Sight, error) {
	type job struct {
		fault string
		seed  uint64
	}
	var jobs []job
	for _, f := range faults {
		for i := range runs {
			jobs = append(jobs, job{f, seed + uint64(i)})
		}
	}
	for i := range sound {
		jobs = append(jobs, job{"", seed + uint64(i)})
	}
	out := make([]Sight, len(jobs))
	return out, each(ctx, len(jobs), workers, progress, func(_ context.Context, i int) error {
		b, onset, err := WithFault(tier, jobs[i].fault, jobs[i].seed)
		if err == nil {
			out[i], err = Watch(b, jobs[i].fault, onset)
		}
		return err
	})
}
