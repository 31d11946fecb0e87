package trial

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strconv"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/recorded"
	handtyped "example.org/halfdrop/meter/run/typed"
)

// How a person reads a display and types what it shows, s (a choice of this project).
const (
	looksLeast, looksMost = 20.0, 60.0 // from an addition, or a value, to the next value
	watches               = 10.0       // that a display is watched before it is said to stand
	shownDecimals         = 2          // of a display
	looksEvery            = 5          // at the screen, when nothing has happened
)

// typist is a pupil at a meter without a line.
type typist struct {
	pupil
	r       *rand.Rand
	says    bool      // whether the display stands
	shown   []float64 // what the display has shown in the latest seconds
	next    float64   // s, when the next value is typed
	changed bool      // something was put on record, and the screen not looked at since
}

// typed plays the bench as the coach says, on values that are typed.
func typed(says bool) func(*Bench, io.Writer) (Outcome, error) {
	return func(b *Bench, story io.Writer) (Outcome, error) {
		k, err := keeperOf(b, nil, recorded.ByHand)
		if err != nil {
			return Outcome{}, err
		}
		g, err := newGame(b, k.State.Forecast().Aim, coachLimits, story)
		if err != nil {
			return Outcome{}, err
		}
		p := &typist{pupil: pupil{game: g, keeper: k}, says: says, r: rand.New(rand.NewPCG(b.Seed, 0x7479))}
		p.wait()
		return p.play(p.second)
	}
}

func (p *typist) wait() { p.next = p.t + looksLeast + (looksMost-looksLeast)*p.r.Float64() }

func (p *typist) second() error {
	p.game.second()
	c := math.Pow10(shownDecimals)
	p.shown = append(p.shown, math.Round(p.sim.Sample().Value*c)/c)
	if n := len(p.shown); n > watches {
		p.shown = p.shown[n-watches:]
	}
	looks := p.changed || int(p.t)%looksEvery == 0
	p.changed = false
	if p.giving == nil && p.t >= p.next {
		if err := p.typeIn(); err != nil {
			return err
		}
		p.wait()
		looks = true
	}
	busy := p.giving != nil
	if !looks && (!busy || !p.giving.Over(p.t)) {
		return nil
	}
	if err := p.act(0); err != nil {
		return err
	}
	if busy && p.giving == nil { // it was put on record
		p.changed = true
		p.wait()
	}
	return nil
}

// stands reports whether the display has shown one number, give or take its last digit.
func (p *typist) stands() bool {
	low, high := math.Inf(1), math.Inf(-1)
	for _, y := range p.shown {
		low, high = math.Min(low, y), math.Max(high, y)
	}
	return len(p.shown) >= watches && high-low < 1.5*math.Pow10(-shownDecimals)
}

// typeIn types what the display shows.
func (p *typist) typeIn() error {
	y := p.shown[len(p.shown)-1]
	p.out.Typed++
	r := meter.Reading{Value: y, Decimals: shownDecimals, Flags: meter.Typed, Raw: strconv.FormatFloat(y, 'f', shownDecimals, 64)}
	if p.says && p.stands() {
		r.Flags |= meter.Stands
	}
	if p.keeper.State.Slip(p.t, handtyped.Value{PH: y, Decimals: shownDecimals, Stands: r.Flags.Has(meter.Stands)}) != nil { // it is what it shows
		p.out.Asked++
	}
	if p.story != nil {
		fmt.Fprintf(p.story, "%5.0f s  types %.2f %v; electrode %.3f of %.3f\n", p.t, y, r.Flags.Has(meter.Stands), p.sim.Shown(), p.sim.True())
	}
	return p.keeper.Take(journal.Event{T: p.t, Kind: journal.Read, Reading: recorded.Reading(r)})
}
