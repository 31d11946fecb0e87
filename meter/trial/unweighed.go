package trial

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"

	"example.org/halfdrop/chem/recipe"
)

// RunUnweighed plays benches on which nobody knows what is in the beaker: with
// mixed, two of the systems together. They are judged by the beaker as it stands,
// since nobody can promise what a mark would make of it.
func RunUnweighed(o Options, mixed bool) (Table, error) {
	o.Strategies = []Strategy{{"unweighed", "the coach, composition unknown", coached(0), true}}
	results := make([][]Outcome, o.Runs)
	err := each(context.Background(), o.Runs, o.Workers, nil, func(_ context.Context, i int) error {
		b, err := drawUnweighed(o, o.Seed+uint64(i), mixed)
		if err != nil {
			return err
		}
		out, err := o.Strategies[0].Play(b, nil)
		results[i] = []Outcome{out}
		return err
	})
	return tabulate(o, results), err
}

// drawUnweighed draws a bench whose plan does not say what is in the beaker.
func drawUnweighed(o Options, seed uint64, mixed bool) (*Bench, error) {
	r := rand.New(rand.NewPCG(seed, 0x0e11))
	for range tries {
		b, err := Draw(o.Tier, seed)
		if mixed {
			b, err = Draw(o.Tier, r.Uint64())
		}
		if err != nil {
			return nil, err
		}
		b.Seed, b.AtOnce, b.AsItStands, b.Gross = seed, o.AtOnce, true, Sound
		if mixed && !b.mix(r) {
			continue
		}
		b.Plan.Weighed = nil
		return b, nil
	}
	return nil, fmt.Errorf("trial: seed %d: %w", seed, ErrNoBench)
}

// mix puts a second system into the beaker, of the form that goes the same way,
// with three tenths to all of the amount of the first.
func (b *Bench) mix(r *rand.Rand) bool {
	other := buffers[r.IntN(len(buffers))]
	name := other.acid
	if !b.Up {
		name = other.base
	}
	if name == "" || other.name == b.system.name {
		return false
	}
	p := b.Plan
	p.Weighed = append(slices.Clone(p.Weighed), recipe.Weighed{Reagent: name, MMol: ptr(*p.Weighed[0].MMol * (0.3 + 0.7*r.Float64()))})
	s, err := recipe.Compile(p)
	if err != nil {
		return false
	}
	b.Plan, b.Setup, b.System = p, s, b.System+" + "+other.name
	if !b.drips() {
		return false
	}
	b.Truth = b.Tier.spread().Draw(s, r.Uint64())
	return b.doable()
}
