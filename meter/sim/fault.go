package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Fault is something that is wrong at the bench from some moment on.
type Fault struct {
	Name     string  // of a FaultKind
	Strength float64 // 1 is the usual case; 0 is taken as 1
	Onset    float64 // s; what is wrong with the weighing is wrong from the start
}

// FaultKind describes a fault for those who inject it and those who look for it.
type FaultKind struct {
	Name  string
	Title string // what is wrong, in words
	Sign  string // what it looks like
	Cure  string // what to do about it
	// Mends says that doing so puts it right: the bench is as it should be after it.
	Mends bool
	// Person says that it lies in what the person does, not in the bench.
	Person bool
	// Seen says that the readings of one run with its log can show it.
	Seen bool
}

// ErrFault is returned for a fault that does not exist or cannot happen here.
var ErrFault = errors.New("no such fault")

// ill is a fault by number.
type ill uint8

const (
	early ill = iota
	unstirred
	zones
	vortex
	dryTip
	capOn
	cracked
	lead
	clogged
	hole
	aged
	wiped
	swapped
	misread
	stale
	wrongTemp
	warm
	co2
	hung
	missed
	unlogged
	dropper
	weakTitrant
	wrongTitrant
	wrongSalt
	halfBuffer
	carryOver
	illCount
)

// faultKinds is in the order of the constants. Signs follow the lists of
// errors in manuals of meters and guides for students; strengths and times are
// a choice of this project, since nobody publishes them.
var faultKinds = [illCount]FaultKind{
	early: {"early", "additions on a reading that still moves", "the reading is on its way when the next addition falls",
		"wait for the settled sign", true, true, true},
	unstirred: {"unstirred", "the stirrer has stopped", "nothing for some seconds after an addition, then a jump",
		"start the stirrer; a shallow dimple is enough", true, false, true},
	zones: {"zones", "stirred too gently", "a spike to the side of the titrant, then a slow return",
		"stir a little faster", true, false, true},
	vortex: {"vortex", "stirred so hard that bubbles reach the bulb", "the reading is many times noisier than before, with spikes",
		"slow the stirrer until the surface is calm", true, false, true},
	dryTip: {"dry_tip", "bulb or junction above the surface", "the reading wanders over many pH, whatever is added",
		"lower the electrode: bulb and junction under the surface", true, false, true},
	capOn: {"cap", "the cap is still on the bulb", "a flat line that responds to no addition",
		"take the cap off, rinse and blot", true, false, true},
	cracked: {"cracked", "a crack in the bulb", "pH 7 whatever is in the beaker; all standards read alike",
		"check the bulb; the electrode must be replaced", true, false, true},
	lead: {"lead", "a broken lead or a loose plug", "the reading creeps on and on in one direction",
		"check cable and plug", true, false, true},
	clogged: {"clogged", "a clogged junction", "slow and sticky; moves with the stirrer; wrong in thin solutions",
		"clean the junction; it is right once a buffer diluted tenfold reads as it should", true, false, true},
	hole: {"hole", "filling hole closed, or a bubble inside the bulb", "drifts, and jumps when something touches it",
		"open the filling hole, fill up, shake the bubble out", true, false, true},
	aged: {"aged", "an old or dried-out electrode", "a slope well below the theory and a slow approach",
		"soak or replace the electrode, and calibrate", true, false, true},
	wiped: {"wiped", "the electrode was wiped instead of blotted", "a jump with nothing added, fading within a minute or so",
		"wait; next time blot, never wipe", false, false, true},
	swapped: {"swapped", "the standards of the calibration were mixed up", "pH moves the wrong way, and the start is far off",
		"calibrate again, each standard in turn", true, false, true},
	misread: {"misread", "a 6.86 standard was taken for 7.00", "everything reads 0.14 too high",
		"calibrate again with the standard that the meter is told to expect", true, false, false},
	stale: {"stale", "the pH 10 standard had been left open", "reads a few per cent too far from 7, on the basic side only",
		"calibrate with a fresh portion from an unopened bottle", true, false, false},
	wrongTemp: {"temperature", "the meter uses a wrong temperature", "an error that grows with the distance from pH 7",
		"measure the temperature, and set it or put the probe in", true, false, false},
	warm: {"warm", "the solution is warm", "a slow drift over minutes that follows the temperature",
		"wait until it has come to bench temperature", false, false, true},
	co2: {"co2", "carbon dioxide gets in from the air", "a slow fall above pH 8 with nothing added",
		"cover the beaker, stir gently and do not dawdle", true, false, true},
	hung: {"hung", "drops hang on the tip", "one addition does nothing, the next counts double",
		"touch the hanging drop to the wall and rinse it down", true, false, true},
	missed: {"missed", "a logged addition did not reach the beaker", "one addition without any response",
		"withdraw it in the log, or rinse it down off the wall", false, false, true},
	unlogged: {"unlogged", "something fell that was not logged", "a step with nothing logged",
		"log what fell", false, false, true},
	dropper: {"dropper", "another dropper than planned, or miscounted", "every addition is too large by the same factor",
		"weigh twenty drops", false, false, true},
	weakTitrant: {"weak_titrant", "the first titrant is weaker than its label", "its additions all do too little",
		"check its date; use a fresh bottle, or go by the response", false, false, true},
	wrongTitrant: {"wrong_titrant", "acid in the bottle of a base, or the other way round", "the first response has the wrong sign",
		"stop, and check the bottle", false, false, true},
	wrongSalt: {"wrong_salt", "the other form of the buffer was weighed", "the first reading is far from where it should be",
		"check the jar; weigh again, or plan with what is there", false, false, true},
	halfBuffer: {"half_buffer", "half of the buffer was weighed", "additions do twice as much as they should",
		"check the weighing notes", false, false, true},
	carryOver: {"carry_over", "some of the previous solution is still on the electrode", "the first readings are off and recover slowly",
		"rinse with water and with a little of the sample, and read again", true, false, true},
}

// Faults are all faults.
func Faults() []FaultKind { return slices.Clone(faultKinds[:]) }

// FaultOf is the fault of that name.
func FaultOf(name string) (FaultKind, error) {
	i, err := illOf(name)
	if err != nil {
		return FaultKind{}, err
	}
	return faultKinds[i], nil
}

func illOf(name string) (ill, error) {
	i := slices.IndexFunc(faultKinds[:], func(k FaultKind) bool { return k.Name == name })
	if i < 0 {
		return 0, fmt.Errorf("sim: %w: %q", ErrFault, name)
	}
	return ill(i), nil
}

// spell is when a fault is there and how strongly.
type spell struct{ strength, from, until float64 }

// afflict notes the faults of the truth.
func (b *Bench) afflict() error {
	for _, f := range b.truth.Faults {
		i, err := illOf(f.Name)
		if err != nil {
			return err
		}
		if f.Strength == 0 {
			f.Strength = 1
		}
		if !(f.Strength > 0 && f.Strength <= 10) || !(f.Onset >= 0) {
			return fmt.Errorf("sim: %w: %s needs a strength from 0 to 10 and a time from 0", ErrFault, f.Name)
		}
		b.ills[i] = spell{f.Strength, f.Onset, math.Inf(1)}
		b.ailing = true
	}
	return nil
}

// Inflict lets a fault loose now, at the usual strength; what is wrong with the
// weighing cannot come later.
func (b *Bench) Inflict(name string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.present()
	i, err := illOf(name)
	switch {
	case err != nil:
		return err
	case faultKinds[i].Person || i == wrongSalt || i == halfBuffer:
		return fmt.Errorf("sim: %w: %s cannot start during a run", ErrFault, faultKinds[i].Title)
	}
	b.ills[i] = spell{1, b.t, math.Inf(1)}
	b.ailing = true
	if i == lead {
		b.open = false
	}
	return nil
}

// has is how strongly a fault is there at time t, 0 when it is not.
func (b *Bench) has(i ill, t float64) float64 {
	s := &b.ills[i]
	if s.strength == 0 || t < s.from || t >= s.until {
		return 0
	}
	return s.strength
}

// Mend puts a fault right, when that can be done, and reports whether it was
// there and has gone.
func (b *Bench) Mend(name string) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.present()
	i, err := illOf(name)
	there := err == nil && faultKinds[i].Mends && b.has(i, b.t) > 0
	if there {
		b.ills[i].until = b.t
	}
	return there
}

// Ails reports whether a fault is there now.
func (b *Bench) Ails(name string) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.present()
	i, err := illOf(name)
	return err == nil && b.has(i, b.t) > 0
}
