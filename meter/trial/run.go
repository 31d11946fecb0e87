package trial

import (
	"context"
	"fmt"
	"io"
	"strings"
	"sync"
	"sync/atomic"
)

// Strategy is a way of titrating.
type Strategy struct {
	Name  string // for the command line
	Title string // for people
	play  func(*Bench, io.Writer) (Outcome, error)

	coached bool // it is the coach that advises, and that names mistakes
}

// ByHand are ways of titrating with a meter without a line: a person types what it
// shows.
func ByHand() []Strategy {
	return []Strategy{
		{"hand", "the coach, values typed by hand", typed(true), true},
		{"hand-passing", "the same, never said to be steady", typed(false), true},
	}
}

// Strategies are all strategies, the coach among them, in the order of the table.
func Strategies() []Strategy {
	return []Strategy{
		{"single", "one drop at a time", byRule(dropwise), false},
		{"most", "90 % of the plan, then dropwise", byRule(mostAtOnce), false},
		{"slope", "70 % of the local slope", byRule(bySlope), false},
		{"coach", "the coach", coached(0), true},
		{"coach30", "the coach, always waiting 30 s", coached(30), true},
		{"limit", "the limit: all known but the scatter", knowing, false},
	}
}

// ParseStrategies are the strategies of a list of names with commas; all when
// it is empty.
func ParseStrategies(list string) ([]Strategy, error) {
	if strings.TrimSpace(list) == "" {
		return Strategies(), nil
	}
	var out []Strategy
next:
	for name := range strings.SplitSeq(list, ",") {
		for _, s := range append(Strategies(), ByHand()...) {
			if s.Name == strings.TrimSpace(name) {
				out = append(out, s)
				continue next
			}
		}
		var all []string
		for _, s := range append(Strategies(), ByHand()...) {
			all = append(all, s.Name)
		}
		return nil, fmt.Errorf("trial: no strategy %q: %s", name, strings.Join(all, ", "))
	}
	return out, nil
}

// Play plays a bench; with a story not nil, every second is written to it.
func (s Strategy) Play(b *Bench, story io.Writer) (Outcome, error) {
	return s.play(b, story)
}

// Options say what to run.
type Options struct {
	Runs       int
	Tier       Tier
	Seed       uint64 // of the first bench; the next has the next number
	Strategies []Strategy
	AtOnce     bool // additions fall within an instant instead of drop by drop
	Workers    int  // benches played at the same time; 1 when less
	// Progress is told after each bench how many are done; it may be nil and
	// is never called twice at once.
	Progress func(done, total int)
}

// Run plays every strategy on every bench. When ctx ends, it returns the table
// of the benches that were played to the end, with ctx's error.
func Run(ctx context.Context, o Options) (Table, error) {
	results := make([][]Outcome, o.Runs)
	err := each(ctx, o.Runs, o.Workers, o.Progress, func(ctx context.Context, i int) (err error) {
		results[i], err = playAll(ctx, o, o.Seed+uint64(i))
		return err
	})
	return tabulate(o, results), err
}

// each does n things, as many at the same time as there are workers, until one fails or ctx ends,
// and returns why it ended. Progress, which may be nil, is told after each that came to its end.
func each(ctx context.Context, n, workers int, progress func(done, total int), do func(ctx context.Context, i int) error) error {
	var next atomic.Int64
	var mu sync.Mutex
	var wg sync.WaitGroup
	done := 0
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	for range max(1, workers) {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if err := do(ctx, i); err != nil {
					cancel(err)
				}
				mu.Lock()
				if ctx.Err() == nil && progress != nil {
					done++
					progress(done, n)
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	return context.Cause(ctx)
}

// playAll plays all strategies on the bench of a seed; nil when ctx ended.
func playAll(ctx context.Context, o Options, seed uint64) ([]Outcome, error) {
	b, err := Draw(o.Tier, seed)
	if err != nil {
		return nil, err
	}
	b.AtOnce = o.AtOnce
	var out []Outcome
	for _, s := range o.Strategies {
		if ctx.Err() != nil {
			return nil, nil
		}
		r, err := s.Play(b, nil)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}
