package main

import (
	"fmt"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/tui/live"
	"github.com/spf13/cobra"
)

// titration is what the command line asks for.
type titration struct {
	live.Asked
	line lineFlags
}

// clock is that of a real bench; tests have one that runs faster.
var clock = time.Now

func newTitrateCommand() *cobra.Command {
	t := &titration{}
	c := &cobra.Command{
		Use:   "titrate (--sim | --port NAME | --by-hand) [--plan FILE] | --port NAME --ph PH --ml ML --titrant BOTTLE | --resume [JOURNAL]",
		Short: "The coach, live: what to add next until the aim is reached",
		Long: `The coach, live. With --sim it runs on the simulated bench, on a built-in plan
unless --plan names one; with --port it reads a pH meter on a serial line.

With --by-hand the meter need not be connected: type what its display shows, 7.42 and
Enter, or 7.42 and s when the display is steady. The coach says when it needs the next
value; a steady one is enough for an addition, unless the drift that is left would
change it. While an addition is ordered a number means drops; one with two decimals is
always a pH. 21.5 and C gives the temperature of the beaker. With --sim as well, the
display is that of the simulated bench, to practise it.

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
		RunE: func(cmd *cobra.Command, args []string) error {
			t.Line, t.Program, t.Look, t.Clock = t.line.Asked, madeBy(), face, clock
			t.In, t.Out, t.Talk = cmd.InOrStdin(), cmd.OutOrStdout(), cmd.ErrOrStderr()
			t.Busy = func(what string) func() { return manners.Busy(t.Talk, what) }
			if err := wasted(cmd, &t.Asked); err != nil {
				return err
			}
			return t.Start(args)
		},
	}
	f := c.Flags()
	f.BoolVar(&t.Sim, "sim", false, "run on the simulated bench")
	f.BoolVar(&t.ByHand, "by-hand", false, "type what the display shows, for a meter that is not connected")
	f.StringVar(&t.Port, "port", "", "serial port `name` of the meter, auto to look for it, tcp://HOST:PORT, or - for lines on standard input")
	t.line.add(c)
	f.StringVar(&t.Plan, "plan", "", "plan `file` (TOML)")
	f.BoolVar(&t.Find, "find", false, "determine an amount instead of a pH: the plan has a [find] table, see halfdrop find")
	f.StringVar(&t.Blank, "blank", "", "journal of a blank `run`, subtracted with its spread; see halfdrop find blank")
	addBare(c, &t.Bare)
	f.StringVar(&t.Journal, "journal", "", "journal `file` to write, instead of one in the data folder")
	f.StringVar(&t.Electrode, "electrode", "", "`name` of the electrode, to find its last calibration")
	f.StringVar(&t.Calibrations, "calibrations", "", "history `file` of the electrodes, as calibrate --file writes it, instead of the one in the data folder")
	f.StringVar(&t.Operator, "operator", "", "`name` of the operator, for the record")
	f.Uint64Var(&t.Seed, "seed", 0, "seed of the simulated bench; 0 draws one")
	f.Float64Var(&t.Speed, "speed", 1, "simulated time runs this many times faster")
	f.BoolVar(&t.Resume, "resume", false, "resume an unfinished run")
	f.StringVar(&t.Bench, "bench", "", "`file` of what is known of droppers, bottles and electrodes, instead of the one in the data folder")
	f.BoolVar(&t.Forget, "forget", false, "start without what earlier runs have shown; a run that ends well replaces it")
	f.BoolVar(&t.Plain, "plain", false, "lines of text instead of a screen, suitable for a screen reader")
	return c
}

// idle is an error when one of the flags was typed, which would change nothing.
func idle(c *cobra.Command, why, hint string, flags ...string) error {
	for _, name := range flags {
		if f := c.Flags().Lookup(name); f != nil && f.Changed {
			return usageError(fmt.Errorf("--%s %s", name, why), hint)
		}
	}
	return nil
}

// wasted names a flag that was typed and would change nothing.
func wasted(c *cobra.Command, t *live.Asked) error {
	if err := typedHere(t.Plan, "the keys of a run are typed"); err != nil {
		return err
	}
	if t.Sim && !t.Resume {
		if err := idle(c, "is for a meter, and the simulated bench has its own", "leave it out, or leave --sim out", "mode", "query", "dialect", "channel", "meter"); err != nil {
			return err
		}
	}
	if t.ByHand {
		if err := idle(c, "is for a meter that is connected", "leave it out, or leave --by-hand out", "mode", "query", "dialect", "channel", "meter"); err != nil {
			return err
		}
	}
	if !t.Bare.Asked() && !t.Resume {
		return idle(c, "is for a beaker without a plan", "the plan says it, as in [target] tolerance = 0.02 and [beaker] temp_c = 21.5", "tolerance", "temp")
	}
	return nil
}

// addBare adds the flags of a beaker that nobody weighed.
func addBare(c *cobra.Command, b *live.Bare) {
	f := c.Flags()
	f.Float64Var(&b.PH, "ph", 0, "without a plan: the `pH` wanted in the beaker")
	f.Float64Var(&b.ML, "ml", 0, "without a plan: `mL` in the beaker now")
	f.StringArrayVar(&b.Titrants, "titrant", nil, "without a plan: a `bottle` available, as in \"NaOH 1 M\" or \"KOH 0.5 M, 40 µL\"; once for each")
	f.Float64Var(&b.Tolerance, "tolerance", recipe.DefaultTolerance, "without a plan: tolerance ± in pH")
	f.Float64Var(&b.TempC, "temp", recipe.DefaultTempC, "without a plan: °C of the beaker, when the meter does not send it")
}
