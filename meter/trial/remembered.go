package trial

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/sim"
)

// Change is what has happened to a bench between two runs that nobody told the
// program: all bottles hold so much of what they held, by the same names.
type Change struct {
	Name   string
	Factor float64
}

// Changes are the second runs of a trial of memory.
func Changes() []Change {
	return []Change{{"again", 1}, {"again, bottles 10 % stronger", 1.1}, {"again, bottles 10 % weaker", 0.9},
		{"again, bottles 25 % stronger", 1.25}, {"again, bottles 25 % weaker", 0.75},
		{"again, bottles 50 % stronger", 1.5}, {"again, bottles 50 % weaker", 0.5}, {"again, bottles twice as strong", 2}}
}

// Again is what a trial of memory found: the first run on each bench, a second one
// with other weighing errors that remembers nothing, and those that remember.
type Again struct {
	Tier Tier
	Seed uint64
	Runs int
	Rows []Row
}

// electrodeName is that of the electrode of every bench.
const electrodeName = "electrode"

// RunAgain plays each bench a first time, lets it teach, and plays it again after each of
// some changes.
func RunAgain(o Options, changes []Change) (Again, error) {
	out := Again{Tier: o.Tier, Seed: o.Seed, Runs: o.Runs}
	titles := []string{"first", "again, nothing remembered"}
	for _, c := range changes {
		titles = append(titles, c.Name)
	}
	results := make([][]Outcome, o.Runs)
	err := each(context.Background(), o.Runs, o.Workers, nil, func(_ context.Context, i int) (err error) {
		results[i], err = playAgain(o, o.Seed+uint64(i), changes)
		return err
	})
	if err != nil {
		return out, err
	}
	for j, title := range titles {
		row := Row{Strategy: Strategy{Name: title, Title: title}, Coached: true, Confused: Confusion{}}
		for _, list := range results {
			row.Outcomes = append(row.Outcomes, list[j])
		}
		row.count()
		out.Rows = append(out.Rows, row)
	}
	return out, nil
}

// playAgain plays the bench of a seed in all ways.
func playAgain(o Options, seed uint64, changes []Change) ([]Outcome, error) {
	b, err := Draw(o.Tier, seed)
	if err != nil {
		return nil, err
	}
	b.AtOnce = o.AtOnce
	if b.Setup, err = recipe.Compile(withNames(&b.Plan)); err != nil {
		return nil, fmt.Errorf("trial: %w", err)
	}
	var book bench.Book
	first, err := teach(b, &book)
	if err != nil {
		return nil, err
	}
	out := []Outcome{first}
	later := learned.AddDate(0, 0, 7)
	known := book.Recall(b.Setup, electrodeName, later)
	second, err := b.again(o.Tier)
	if err != nil {
		return nil, err
	}
	for i, c := range append([]Change{{"", 1}}, changes...) {
		what := &known
		if i == 0 {
			what = &bench.Taken{}
		}
		r, err := second.changed(c).remembering(what)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// learned is when the first run of a bench was.
var learned = time.Date(2026, 11, 1, 9, 0, 0, 0, time.UTC)

// withNames gives the bottles of a plan names, and one dropper for all.
func withNames(p *recipe.Plan) recipe.Plan {
	p.Titrants = slices.Clone(p.Titrants)
	for i := range p.Titrants {
		p.Titrants[i].Bottle, p.Titrants[i].Dropper = fmt.Sprintf("B%d", i+1), "dropper"
	}
	return *p
}

// teach plays a bench the first time and puts down what it has shown.
func teach(b *Bench, book *bench.Book) (Outcome, error) {
	k, err := keeper(b, nil)
	if err != nil {
		return Outcome{}, err
	}
	out, err := playOn(b, k, 0, nil)
	if err != nil || !out.Stopped {
		return out, err
	}
	if err := k.Take(propose.Ending(k.State, k.State.T, "done")); err != nil {
		return out, err
	}
	if r, err := keep.Lesson(k.State, electrodeName, learned); err == nil {
		book.Put(r)
	}
	return out, nil
}

// remembering plays a bench on which something is known.
func (b *Bench) remembering(t *bench.Taken) (Outcome, error) {
	payload, err := json.Marshal(t)
	if err != nil {
		return Outcome{}, fmt.Errorf("trial: %w", err)
	}
	var known json.RawMessage
	if !t.Empty() {
		known = payload
	}
	k, err := keeper(b, known)
	if err != nil {
		return Outcome{}, err
	}
	return playOn(b, k, 0, nil)
}

// again is the bench on another day: dropper, bottles, electrode and chemistry are
// the same, what was weighed and the calibration are not.
func (b *Bench) again(tier Tier) (*Bench, error) {
	r := rand.New(rand.NewPCG(b.Seed, 0xa9a1))
	for range tries {
		n := *b
		t := tier.spread().Draw(b.Setup, r.Uint64())
		old := &b.Truth
		t.LnDrop, t.LnStrength, t.PKShift, t.Scatter, t.Poured = old.LnDrop, old.LnStrength, old.PKShift, old.Scatter, old.Poured
		t.Tau, t.SlowTau, t.SlowShare, t.Noise, t.Mixing, t.Decimals = old.Tau, old.SlowTau, old.SlowShare, old.Noise, old.Mixing, old.Decimals
		t.Pickup, t.Gaps, t.LnDrift = old.Pickup, old.Gaps, old.LnDrift
		if n.Truth, n.Gross = t, Sound; n.doable() {
			return &n, nil
		}
	}
	return nil, fmt.Errorf("trial: seed %d again: %w", b.Seed, ErrNoBench)
}

// changed is the bench with other bottles of the same names.
func (b *Bench) changed(c Change) *Bench {
	n := *b
	n.Truth = scaled(b.Truth, c.Factor)
	return &n
}

func scaled(t sim.Truth, factor float64) sim.Truth {
	t.LnStrength = slices.Clone(t.LnStrength)
	for i := range t.LnStrength {
		t.LnStrength[i] += math.Log(factor)
	}
	return t
}

// WriteText writes what was found for people.
func (a Again) WriteText(w io.Writer) error {
	fmt.Fprintf(w, "%s\n\n", benches(a.Runs, a.Tier, a.Seed, ", each twice"))
	tw := phrase.Columns(w)
	fmt.Fprintln(tw, "run\tin tol.\tovershoot\tback\tgave up\tadditions mean\tmedian\t95 %\ttime s median\tmean\tasked")
	for _, r := range a.Rows {
		fmt.Fprintf(tw, "%s\t%s\t%s\t%s\t%s\t%.2f\t%.0f\t%.0f\t%.0f\t%.0f\t%s\n", r.Strategy.Title,
			percent(r.In), percent(r.Over), percent(r.Back), percent(r.GaveUp), r.Adds.Mean, r.Adds.Median, r.Adds.P95,
			r.Seconds.Median, r.Seconds.Mean, percent(r.False))
	}
	return tw.Flush()
}
