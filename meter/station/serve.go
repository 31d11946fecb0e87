package station

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/sim"
)

// Port is the near end of a port that others open by its name.
type Port interface {
	io.WriteCloser
	Name() string // of the link when there is one
}

// Serve streams readings and does what is typed until the context ends or
// somebody types q. When the input ends the meter goes on.
func (t *Station) Serve(ctx context.Context, port io.Writer, every time.Duration, in io.Reader, out, talk io.Writer) error {
	lines := intake.Lines(ctx, in)
	tick := time.NewTicker(every)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
			if _, err := io.WriteString(port, t.line()+"\r\n"); err != nil {
				return fmt.Errorf("sim: the pseudo-terminal is gone: %w", err)
			}
		case text, open := <-lines:
			if !open {
				lines = nil
				fmt.Fprintln(talk, "halfdrop: nothing more to read here; the meter keeps sending until Ctrl-C")
				continue
			}
			if t.do(text, out, talk) {
				return nil
			}
		}
	}
}

// Of is what a station is built from.
type Of struct {
	Plan     recipe.Plan
	Exercise *practice.Exercise // nil for a bench that only the plan describes
	Sends    sim.Sends
	Seed     uint64  // 0 for that of the exercise, or a drawn one
	Speed    float64 // simulated seconds in one
}

// New builds the bench of a plan, or of an exercise.
func New(of Of) (*Station, error) {
	setup, err := recipe.Compile(of.Plan)
	if err != nil {
		return nil, err
	}
	seed := cmp.Or(of.Seed, sim.DrawnSeed())
	b, err := sim.New(setup, sim.DefaultTruth(setup, seed))
	if x := of.Exercise; x != nil {
		if of.Seed == 0 {
			seed = x.Seed
		}
		b, setup, err = x.NewBench(seed)
	}
	if err != nil {
		return nil, err
	}
	clock := sim.NewClock(of.Speed)
	b.Wire(clock, of.Sends)
	return &Station{Bench: b, Clock: clock, Seed: seed,
		bottles: phrase.Each(setup.Stocks, func(st recipe.Stock) string { return st.Name })}, nil
}

// PupilPlan is the plan of an exercise as a file, without what is hidden.
func PupilPlan(e *practice.Exercise) ([]byte, error) {
	var b bytes.Buffer
	err := planfile.Write(&b, e.Plan, []string{"Plan of the exercise " + e.Title + ", for the window of the pupil."})
	return b.Bytes(), err
}
