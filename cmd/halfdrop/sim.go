package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/lesson"
	"example.org/halfdrop/tui/live"
)

// simulation is what the command line asks for.
type simulation struct {
	planPath string
	exercise string // name, number or file
	savePlan string
	link     string
	sends    string
	seed     uint64
	speed    float64
	every    time.Duration
}

func newSimCommand() *cobra.Command {
	s := &simulation{}
	c := &cobra.Command{
		Use:   "sim [--plan FILE] [--seed N] [--speed X]",
		Short: "The simulated bench as a meter on a pseudo-terminal, for training with two windows",
		Long: `The simulated bench as a pH meter on a pseudo-terminal (Linux and macOS).

The name of the port is printed first. In a second window the coach, the
calibration and the list of ports take it for a serial port. Here you are the
hands at the plate: what you type falls into the virtual beaker.

  6 NaOH 1 M        six drops; the name of the bottle may be shortened
  0.5 mL HCl 0.1 M  a measured volume
  undo              take the last addition out again, as if never made
  rinse             hold the electrode in demineralised water
  into 7.00         put it into a standard, to calibrate
  back              put it back into the beaker
  pH                what the meter shows
  f                 the faults with their numbers
  f 3               let the third loose now; a name will do too
  m 3               put it right again
  ?                 this list
  q                 end

With --exercise it is the bench of an exercise, hidden faults included; the plan
for the other window is written with --save-plan. This way a teacher lets faults
loose here while the pupil works there.`,
		Example: `  halfdrop sim --link bench --save-plan demo.toml
  halfdrop titrate --port bench --plan demo.toml      # in the other window
  halfdrop sim --exercise 8 --link bench --save-plan pupil.toml`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return s.run(cmd) },
	}
	f := c.Flags()
	f.StringVar(&s.planPath, "plan", "", "plan `file` (TOML); a built-in one without it")
	f.StringVar(&s.exercise, "exercise", "", "the bench of this exercise: its `name`, number or file")
	f.StringVar(&s.savePlan, "save-plan", "", "write the plan, built in or of the exercise, to this `file`, for the other window")
	f.StringVar(&s.link, "link", "", "also make a link of this `path` to the port, the same each time")
	f.StringVar(&s.sends, "send", "ph", "what the meter sends: ph, mv or both")
	f.Uint64Var(&s.seed, "seed", 0, "seed of the bench; 0 draws one")
	f.Float64Var(&s.speed, "speed", 1, "beaker and electrode run this many times faster")
	f.DurationVar(&s.every, "every", sim.Every, "time between two lines of the meter")
	return c
}

func (s *simulation) check() (sim.Sends, error) {
	kinds := map[string]sim.Sends{"ph": sim.SendPH, "mv": sim.SendMV, "both": sim.SendBoth}
	kind, ok := kinds[s.sends]
	switch {
	case !ok:
		return kind, usageError(fmt.Errorf("--send %s is not one of ph, mv, both", s.sends))
	case !(s.speed >= 0.1 && s.speed <= 100):
		return kind, usageError(fmt.Errorf("--speed %g is outside 0.1–100", s.speed))
	case s.every < 10*time.Millisecond || s.every > time.Minute:
		return kind, usageError(fmt.Errorf("--every %v is outside 10ms–1m", s.every))
	case s.planPath == textfile.StandardInput:
		return kind, typedHere(s.planPath, "what falls into the beaker is typed")
	case s.exercise != "" && s.planPath != "":
		return kind, usageError(errors.New("an exercise has a plan of its own"), "leave --plan out")
	case s.savePlan != "" && s.planPath != "":
		return kind, usageError(errors.New("--save-plan writes the built-in plan, and --plan names another"), "leave one out")
	}
	return kind, nil
}

func (s *simulation) run(cmd *cobra.Command) error {
	kind, err := s.check()
	if err != nil {
		return err
	}
	x, err := s.practised()
	if err != nil {
		return err
	}
	if x != nil && x.Calibrate != nil && !cmd.Flags().Changed("send") {
		kind = sim.SendMV
	}
	plan, text := recipe.Plan{}, planfile.Demo
	if x != nil {
		plan = x.Plan
		text, err = station.PupilPlan(x)
	} else {
		plan, err = (&live.Asked{Plan: s.planPath}).Recipe()
	}
	if err != nil {
		return err
	}
	if s.savePlan != "" {
		if err := textfile.WriteNew(s.savePlan, text); err != nil {
			return withHint(err, "an existing file is not overwritten; give another name, or leave --save-plan out")
		}
	}
	t, err := station.New(station.Of{Plan: plan, Exercise: x, Sends: kind, Seed: s.seed, Speed: s.speed})
	if err != nil {
		return err
	}
	port, err := station.OpenPort(s.link)
	if err != nil {
		return err
	}
	defer port.Close()
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	fmt.Fprintln(cmd.OutOrStdout(), port.Name())
	s.greet(cmd.ErrOrStderr(), port.Name(), t)
	return t.Serve(ctx, port, s.every, cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr())
}

// practised is the exercise asked for, nil without one.
func (s *simulation) practised() (*practice.Exercise, error) {
	if s.exercise == "" {
		return nil, nil
	}
	e, err := practice.Find(s.exercise)
	if err == nil {
		return e, nil
	}
	if _, bad := os.Stat(s.exercise); bad != nil {
		return nil, usageError(fmt.Errorf("no exercise is called %q, and there is no such file", s.exercise), lesson.Meant("halfdrop sim --exercise", s.exercise)+"halfdrop practice lists them")
	}
	return lesson.ReadExercise(s.exercise)
}

// greet says what stands here and how the other window gets at it.
func (s *simulation) greet(w io.Writer, port string, t *station.Station) {
	say := func(format string, a ...any) { fmt.Fprintf(w, "halfdrop: "+format+"\n", a...) }
	say("a simulated meter sends lines on %s (seed %d)", port, t.Seed)
	say("bottles: %s", t.BottleList())
	plan := cmp.Or(s.planPath, s.savePlan)
	if plan == "" {
		which := "the built-in plan"
		if s.exercise != "" {
			which = "the plan of the exercise"
		}
		say("hint: with --save-plan FILE %s is written for the other window", which)
		plan = "FILE"
	}
	say("other window: halfdrop titrate --port %s --plan %s", port, plan)
	say("          or: halfdrop calibrate --port %s", port)
	say("type ? for help, q to end")
}
