package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/link"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station"
	"example.org/halfdrop/tui"
	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"
)

// titration is what the command line asks for.
type titration struct {
	sim       bool
	byHand    bool
	port      string
	line      lineFlags
	planPath  string
	journal   string
	operator  string
	electrode string
	calibFile string
	seed      uint64
	speed     float64
	plain     bool
	resume    bool
	benchPath string
	forget    bool
	bare      bareBeaker
	find      bool
	blank     string

	display func() (pH, temperature string) // of the simulated meter that is read off; nil for none
}

func newTitrateCommand() *cobra.Command {
	t := &titration{}
	c := &cobra.Command{
		Use:   "titrate (--sim | --port NAME | --by-hand) [--plan FILE] | --port NAME --ph PH --ml ML --titrant BOTTLE | --resume [JOURNAL]",
		Short: "The coach, live: what to add next until the aim is reached",
		Long: `The coach, live. With --sim it runs on the simulated bench, on a built-in plan
unless --plan names one; with --port it reads a pH meter on a serial line.

With --by-hand the meter need not be connected: type what its display shows, 7.42 and
Enter, or 7.42 and s when the display is steady. The coach says when it needs the next
value; a steady one is as good as it gets, and one per addition is enough. While an
addition is ordered a number means drops; one with two decimals is always a pH. 21.5
and C gives the temperature of the beaker. With --sim as well, the display is that of
the simulated bench, to practise it.

With --find, or a plan with a [find] table, it determines an amount instead of a pH:
the strength of a bottle, what is in a sample, a pK. The next addition is the one
whose reading is expected to tell most; see halfdrop find.

A beaker of unknown composition needs no plan: --ph, --ml and the bottles available,
each with --titrant. The coach then starts with a small step and learns the curve as it
goes; the aim is the pH in the beaker as it is.

Every run is recorded in a journal, in the data folder unless --journal names
a file. With --resume an interrupted run continues where its journal ends:
the only unfinished one in the data folder, or the journal named.

Strong acids and bases burn: wear goggles and gloves, read the safety data
sheet of each bottle, and follow the rules of your laboratory.`,
		Example: `  halfdrop titrate --sim
  halfdrop titrate --port auto --plan hepes.toml --electrode E7
  halfdrop titrate --by-hand --plan hepes.toml
  halfdrop titrate --port COM3 --ph 7.4 --ml 250 --titrant "NaOH 1 M" --titrant "HCl 0.1 M"
  halfdrop titrate --resume
  halfdrop titrate --sim --plain --speak espeak-ng`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error { return t.start(cmd, args) },
	}
	f := c.Flags()
	f.BoolVar(&t.sim, "sim", false, "run on the simulated bench")
	f.BoolVar(&t.byHand, "by-hand", false, "type what the display shows, for a meter that is not connected")
	f.StringVar(&t.port, "port", "", "serial port `name` of the meter, auto to look for it, tcp://HOST:PORT, or - for lines on standard input")
	t.line.add(c)
	f.StringVar(&t.planPath, "plan", "", "plan `file` (TOML)")
	f.BoolVar(&t.find, "find", false, "determine an amount instead of a pH: the plan has a [find] table, see halfdrop find")
	f.StringVar(&t.blank, "blank", "", "journal of a blank `run`, subtracted with its spread; see halfdrop find blank")
	t.bare.add(c)
	f.StringVar(&t.journal, "journal", "", "journal `file` to write, instead of one in the data folder")
	f.StringVar(&t.electrode, "electrode", "", "`name` of the electrode, to find its last calibration")
	f.StringVar(&t.calibFile, "calibrations", "", "history `file` of the electrodes, as calibrate --file writes it, instead of the one in the data folder")
	f.StringVar(&t.operator, "operator", "", "`name` of the operator, for the record")
	f.Uint64Var(&t.seed, "seed", 0, "seed of the simulated bench; 0 draws one")
	f.Float64Var(&t.speed, "speed", 1, "simulated time runs this many times faster")
	f.BoolVar(&t.resume, "resume", false, "resume an unfinished run")
	f.StringVar(&t.benchPath, "bench", "", "`file` of what is known of droppers, bottles and electrodes, instead of the one in the data folder")
	f.BoolVar(&t.forget, "forget", false, "start without what earlier runs have shown; a run that ends well replaces it")
	f.BoolVar(&t.plain, "plain", false, "lines of text instead of a screen, suitable for a screen reader")
	return c
}

func (t *titration) check() error {
	if err := plainWords("--operator", t.operator, "--electrode", t.electrode); err != nil {
		return err
	}
	switch {
	case t.sim && t.port != "":
		return usageError(errors.New("--sim and --port exclude each other"), "leave one out")
	case t.byHand && t.port != "":
		return usageError(errors.New("--by-hand is for a meter that is not connected"), "leave --port out")
	case t.sim && t.calibFile != "":
		return usageError(errors.New("the simulated bench brings its own calibration"), "leave --calibrations out")
	case !t.sim && !t.byHand && t.port == "":
		return usageError(errors.New("no source of readings"), "try --sim, --port NAME, --meter NAME or --by-hand; halfdrop ports lists the ports")
	case t.bare.asked():
		return t.bare.check(t)
	case !t.sim && t.planPath == "" && t.find:
		return usageError(errors.New("no plan"), "give one with --plan FILE; halfdrop find example writes one to start from")
	case !t.sim && t.planPath == "":
		return usageError(errors.New("no plan"), "give one with --plan FILE; only the simulator has a built-in one")
	case !(t.speed >= 0.1 && t.speed <= 1000):
		return usageError(fmt.Errorf("--speed %g is outside 0.1–1000", t.speed))
	case !t.sim && t.speed != 1:
		return usageError(errors.New("--speed is for the simulator"), "a real meter runs at its own speed")
	}
	return nil
}

func (t *titration) plan() (recipe.Plan, error) {
	switch {
	case t.planPath != "" && t.find:
		return loadFindPlan(t.planPath)
	case t.planPath != "":
		return planfile.Load(t.planPath)
	}
	if t.bare.asked() {
		p, err := t.bare.plan()
		if err != nil {
			return p, err
		}
		return p, planfile.Check("the command line", p)
	}
	built := planfile.Demo
	if t.find {
		built = planfile.FindDemo
	}
	p, err := planfile.Decode("built-in plan", built)
	if err != nil {
		return p, err
	}
	return p, planfile.Check("built-in plan", p)
}

func (t *titration) run(cmd *cobra.Command) error {
	if err := t.line.Choose(t.sim || t.byHand, &t.port); err != nil {
		return err
	}
	if err := t.check(); err != nil {
		return err
	}
	plan, err := t.plan()
	if err == nil && t.blank != "" {
		plan, err = subtracting(plan, t.blank)
	}
	if err == nil {
		err = planfile.Advisable("plan", plan)
	}
	if err != nil {
		return err
	}
	start := time.Now()
	b, err := t.bench(plan, start)
	if err != nil {
		return err
	}
	first, err := startEvent(plan, start, b.name, t.operator)
	if err != nil {
		return err
	}
	if err := t.memory().TakeOver(plan, &first, cmd.ErrOrStderr()); err != nil {
		return err
	}
	if err := foretell(plan, cmd.ErrOrStderr()); err != nil {
		return err
	}
	log, err := t.record(start, plan.Name, &first)
	if err != nil {
		return err
	}
	defer log.Close()
	keeper, err := run.NewKeeper(first, log, b.wall)
	if err != nil {
		return err
	}
	if !t.sim { // the simulated bench is calibrated by its truth
		if err := (shelf.Electrode{Name: t.electrode, File: t.calibFile}).Tell(keeper, cmd.ErrOrStderr()); err != nil {
			return err
		}
	}
	s := run.NewSession(keeper, b.source, b.now, b.dispenser)
	s.Recall = t.memory().Recall()
	watchClock(s, b)
	return t.show(cmd, s, keeper, log.Path())
}

// place is where the run takes place: the simulated bench or a real one.
type place struct {
	name      string // of the source, as the journal keeps it
	source    meter.Source
	now       func() float64
	wall      func(t float64) time.Time
	dispenser run.Dispenser
}

func (t *titration) bench(p recipe.Plan, start time.Time) (place, error) {
	wall := func(s float64) time.Time { return start.Add(time.Duration(s * float64(time.Second))) }
	if t.byHand && !t.sim {
		return place{name: run.ByHand, source: run.NoLine{}, now: func() float64 { return time.Since(start).Seconds() }, wall: wall}, nil
	}
	if !t.sim {
		src, err := t.line.Open(context.Background(), os.Stderr, t.port)
		if err != nil {
			return place{}, err
		}
		return place{name: t.line.SourceName(src.String()), source: src, now: func() float64 { return time.Since(start).Seconds() }, wall: wall}, nil
	}
	setup, err := recipe.Compile(p)
	if err != nil {
		return place{}, err
	}
	seed := t.seed
	if seed == 0 {
		seed = uint64(start.UnixNano())%1e6 + 1
	}
	b, err := sim.New(setup, sim.DefaultTruth(setup, seed))
	if err != nil {
		return place{}, err
	}
	clock := sim.NewClock(t.speed)
	at := place{name: sim.SourceName(seed), source: b.Source(clock, sim.Every), now: clock.Seconds, wall: wall, dispenser: station.Plate{Bench: b}}
	return t.readOff(at, b, clock), nil
}

// watchClock lets a run on a real bench note when the clock is set; a
// simulated one has a time of its own.
func watchClock(s *run.Session, b place) {
	if b.dispenser == nil {
		s.WatchClock(time.Now)
	}
}

// record begins the journal: the file named, else a new one in the data folder.
func (t *titration) record(start time.Time, name string, first *journal.Event) (*journal.Writer, error) {
	if t.journal != "" {
		return shelf.CreateJournal(t.journal, first)
	}
	folder, err := journal.DefaultFolder()
	if err != nil {
		return nil, withHint(err, "name a file with --journal FILE")
	}
	w, err := journal.CreateIn(folder, start, name, *first, journal.WithClock(time.Now))
	if err != nil {
		return nil, withHint(err, "name a file with --journal FILE")
	}
	return w, nil
}

func (t *titration) front(ctx context.Context, cmd *cobra.Command, s *run.Session) error {
	if t.plain || os.Getenv("TERM") == "dumb" || !isatty.IsTerminal(os.Stdout.Fd()) {
		o := face
		o.Again, o.Note, o.Display = t.resume, !t.sim && !t.bare.asked(), t.display
		return tui.Plain(ctx, s, link.Keys(t.port, cmd.InOrStdin()), cmd.OutOrStdout(), o)
	}
	o := looks(t.port)
	o.Note, o.Display = !t.sim && !t.bare.asked(), t.display
	return tui.Run(ctx, s, o)
}

// memory of a titration.
func (t *titration) memory() shelf.Memory {
	return shelf.Memory{Path: t.benchPath, Electrode: t.electrode, Forget: t.forget, Sim: t.sim}
}

// readOff makes of the simulated bench one whose meter has no line, where the run is
// by hand: its display is shown, and a person types what it shows.
func (t *titration) readOff(at place, b *sim.Bench, clock *sim.Clock) place {
	if !t.byHand {
		return at
	}
	d := &station.Display{Bench: b, Now: clock.Seconds}
	t.display = d.Shows
	at.name, at.source = run.ByHand+", "+at.name, run.NoLine{}
	return at
}
