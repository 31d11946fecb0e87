package live

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/link"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/amount"
	"example.org/halfdrop/tui/terminal"
)

// Check says what contradicts itself in what is asked for.
func (t *Asked) Check() error {
	if err := intake.Said("--operator", t.Operator, "--electrode", t.Electrode); err != nil {
		return err
	}
	switch {
	case t.Sim && t.Port != "":
		return remedy.Call(errors.New("--sim and --port exclude each other"), "leave one out")
	case t.ByHand && t.Port != "":
		return remedy.Call(errors.New("--by-hand is for a meter that is not connected"), "leave --port out")
	case t.Sim && t.Calibrations != "":
		return remedy.Call(errors.New("the simulated bench brings its own calibration"), "leave --calibrations out")
	case !t.Sim && !t.ByHand && t.Port == "":
		return remedy.Call(errors.New("no source of readings"), "try --sim, --port NAME, --meter NAME or --by-hand; halfdrop ports lists the ports")
	case t.Bare.Asked():
		return t.Bare.check(t)
	case !t.Sim && t.Plan == "" && t.Find:
		return remedy.Call(errors.New("no plan"), "give one with --plan FILE; halfdrop find example writes one to start from")
	case !t.Sim && t.Plan == "":
		return remedy.Call(errors.New("no plan"), "give one with --plan FILE; only the simulator has a built-in one")
	case !(t.Speed >= 0.1 && t.Speed <= 1000):
		return remedy.Call(fmt.Errorf("--speed %g is outside 0.1–1000", t.Speed))
	case !t.Sim && t.Speed != 1:
		return remedy.Call(errors.New("--speed is for the simulator"), "a real meter runs at its own speed")
	}
	return nil
}

// Recipe is the plan of the run: the file named, the beaker of the command line, or a
// built-in one.
func (t *Asked) Recipe() (recipe.Plan, error) {
	switch {
	case t.Plan != "" && t.Find:
		return planfile.LoadFind(t.Plan)
	case t.Plan != "":
		return planfile.Load(t.Plan)
	}
	if t.Bare.Asked() {
		p, err := t.Bare.plan()
		if err != nil {
			return p, err
		}
		return p, t.Bare.inFlags(planfile.Check("the command line", p))
	}
	built := planfile.Demo
	if t.Find {
		built = planfile.FindDemo
	}
	p, err := planfile.Decode("built-in plan", built)
	if err != nil {
		return p, err
	}
	return p, planfile.Check("built-in plan", p)
}

func (t *Asked) run() error {
	if err := t.Line.Choose(t.Sim || t.ByHand, &t.Port); err != nil {
		return err
	}
	if err := t.Check(); err != nil {
		return err
	}
	plan, err := t.Recipe()
	if err == nil && t.Blank != "" {
		plan, err = amount.Subtracting(plan, t.Blank)
	}
	if err == nil {
		err = planfile.Advisable("plan", plan)
	}
	if err != nil {
		return err
	}
	start := t.now()
	b, err := t.bench(plan, start)
	if err != nil {
		return err
	}
	first, err := keep.Begin(plan, start, keep.Origin{Program: t.Program, Source: b.name, Operator: t.Operator})
	if err != nil {
		return err
	}
	if err := t.memory().TakeOver(plan, &first, t.Talk); err != nil {
		return err
	}
	if err := amount.Foretell(plan, t.Talk); err != nil {
		return err
	}
	log, err := t.record(start, plan.Name, &first)
	if err != nil {
		return err
	}
	defer log.Close()
	keeper, err := keep.NewKeeper(first, log, b.wall)
	if err != nil {
		return err
	}
	if !t.Sim { // the simulated bench is calibrated by its truth
		if err := (shelf.Electrode{Name: t.Electrode, File: t.Calibrations}).Tell(keeper, t.Talk); err != nil {
			return err
		}
		if err := t.nameElectrode(keeper); err != nil {
			return err
		}
	}
	t.tellWaiting(keeper.State.Setup, "not into the beaker yet, but once the pH is set: ")
	s := session.NewSession(keeper, b.source, b.now, b.dispenser)
	s.Recall = t.memory().Recall()
	t.watchClock(s, b)
	return t.show(s, keeper, log.Path())
}

// nameElectrode puts the name of the electrode on record: a calibration says it, but one that
// has none known was named on the command line and nowhere else, and a run that was resumed
// taught the bench nothing of it.
func (t *Asked) nameElectrode(k *keep.Keeper) error {
	if t.Electrode == "" {
		return nil
	}
	return k.Take(journal.Event{T: k.State.T, Kind: journal.Noted, Note: &journal.Note{Electrode: t.Electrode}})
}

// place is where the run takes place: the simulated bench or a real one.
type place struct {
	name      string // of the source, as the journal keeps it
	source    meter.Source
	now       func() float64
	wall      func(t float64) time.Time
	dispenser session.Dispenser
}

func (t *Asked) bench(p recipe.Plan, start time.Time) (place, error) {
	wall := func(s float64) time.Time { return start.Add(time.Duration(s * float64(time.Second))) }
	since := func() float64 { return t.now().Sub(start).Seconds() }
	if t.ByHand && !t.Sim {
		return place{name: recorded.ByHand, source: session.NoLine{}, now: since, wall: wall}, nil
	}
	if !t.Sim {
		src, err := t.Line.Open(context.Background(), t.Talk, t.Port)
		if err != nil {
			return place{}, err
		}
		return place{name: t.Line.SourceName(src.String()), source: src, now: since, wall: wall}, nil
	}
	setup, err := recipe.Compile(p)
	if err != nil {
		return place{}, err
	}
	seed := cmp.Or(t.Seed, sim.DrawnSeed())
	b, err := sim.New(setup, sim.DefaultTruth(setup, seed))
	if err != nil {
		return place{}, err
	}
	clock := sim.NewClock(t.Speed)
	at := place{name: sim.SourceName(seed), source: b.Source(clock, sim.Every), now: clock.Seconds, wall: wall, dispenser: station.Plate{Bench: b}}
	return t.readOff(at, b, clock), nil
}

// watchClock lets a run on a real bench note when the clock is set; a
// simulated one has a time of its own.
func (t *Asked) watchClock(s *session.Session, b place) {
	if b.dispenser == nil {
		s.WatchClock(t.now)
	}
}

// record begins the journal: the file named, else a new one in the data folder.
func (t *Asked) record(start time.Time, name string, first *journal.Event) (*journal.Writer, error) {
	if t.Journal != "" {
		return shelf.CreateJournal(t.Journal, first)
	}
	folder, err := journal.DefaultFolder()
	if err != nil {
		return nil, remedy.With(err, "name a file with --journal FILE")
	}
	w, err := journal.CreateIn(folder, start, name, *first, journal.WithClock(t.now))
	if err != nil {
		return nil, remedy.With(err, "name a file with --journal FILE")
	}
	return w, nil
}

func (t *Asked) front(ctx context.Context, s *session.Session) error {
	if t.Plain || !terminal.Is(os.Stdout) || terminal.Dumb() {
		o := t.Look
		o.Again, o.Note, o.Display = t.Resume, !t.Sim && !t.Bare.Asked(), t.display
		return tui.Plain(ctx, s, link.Keys(t.Port, t.In), t.Out, o)
	}
	o := t.Look
	if tty := link.Terminal(t.Port); tty != nil {
		o.In = tty
	}
	o.Note, o.Display = !t.Sim && !t.Bare.Asked(), t.display
	return tui.Run(ctx, s, o)
}

// memory of a titration.
func (t *Asked) memory() shelf.Memory {
	return shelf.Memory{Path: t.Bench, Electrode: t.Electrode, Forget: t.Forget, Sim: t.Sim}
}

// readOff makes of the simulated bench one whose meter has no line, where the run is
// by hand: its display is shown, and a person types what it shows.
func (t *Asked) readOff(at place, b *sim.Bench, clock *sim.Clock) place {
	if !t.ByHand {
		return at
	}
	d := &station.Display{Bench: b, Now: clock.Seconds}
	t.display = d.Shows
	at.name, at.source = recorded.ByHand+", "+at.name, session.NoLine{}
	return at
}
