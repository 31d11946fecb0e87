package main

import (
	"github.com/spf13/cobra"

	"example.org/halfdrop/meter/foreign"
	"example.org/halfdrop/tui/past"
)

func newReplayCommand() *cobra.Command {
	p := &past.Asked{Columns: map[string]*string{}}
	c := &cobra.Command{
		Use:   "replay FILE",
		Short: "Look back on a run: step through it, where it overshot, and why",
		Long: `Steps through the journal of a run: curve, readings and additions as they came,
the advice of each moment beside what was done. Every overshoot is explained,
with what would have been safe on what was known then. The file is only read.
Where standard output is no terminal the summary is printed; --plain steps in lines.

A table of readings from another program is read too: columns separated by commas,
semicolons, tabs, bars or blanks, upright or transposed. What each column is, is
worked out from its name, unit and values and shown above its first rows; keys on the
screen, or flags, say otherwise: a name, a number from 1, or - for none. A column
that may be several things is asked about (exit status 2). With volumes its curve is
fitted: acids, strength and equivalence points with their spreads. Strength,
sample volume and temperature are taken from the lines above the table if they are there. Such a log
does not say what was aimed at: with --aim the addition that went past it is named. If you know
what was titrated, say so with --of, or with the plan of a determination: its amount
is then estimated from the whole curve, as halfdrop titrate --find does.`,
		Example: "  halfdrop replay run.jsonl\n  halfdrop replay --summary run.jsonl\n  halfdrop replay --sample-ml 25 --molar 0.1 --volume 2 log.csv\n  halfdrop replay --aim 7.4 --tolerance 0.05 log.csv\n  halfdrop replay --volume-is each --run 2 log.csv\n  halfdrop replay --of \"acetic acid\" --sample-ml 25 --molar 0.1 log.csv",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			p.Said = cmd.Flags().Changed
			return p.Replay(cmd.Context(), lookingBack(cmd), args[0])
		},
	}
	f := c.Flags()
	f.BoolVar(&p.Summary, "summary", false, "print what happened instead of stepping through it")
	f.BoolVar(&p.JSON, "json", false, "print what happened as one JSON object")
	f.BoolVar(&p.Plain, "plain", false, "step through it in lines of text, fit for a screen reader")
	for _, q := range foreign.Quantities() {
		p.Columns[q] = f.String(q, "", "for a log of another program: the `column` of its "+foreign.Spoken(q))
	}
	f.Float64Var(&p.Fit.SampleML, "sample-ml", 0, "for a log of another program: `mL` of sample titrated")
	f.Float64Var(&p.Fit.Molar, "molar", 0, "for a log of another program: strength of its titrant, `mol/L`")
	f.Float64Var((*float64)(&p.Fit.Temp), "temp-c", 0, "for a log of another program: `°C` of its sample, if neither a column nor the lines above its table say it")
	f.StringVar(&p.Volume, "volume-is", "", "for a log of another program: `what` its volume counts: total given, each row, left in the burette, or rise from its first value")
	f.IntVar(&p.Log.Run, "run", 0, "for a log of another program: `number` of one of several runs side by side, 1 for the first")
	f.Float64Var(&p.MolarSD, "molar-sd", past.StrangeMolar, "with --of: spread of that strength, `%`")
	f.Float64Var(&p.Aim, "aim", 0, "for a log of another program: the `pH` that was aimed at, to be told which addition went past it")
	f.Float64Var(&p.Tolerance, "tolerance", past.StrangeTolerance, "with --aim: tolerance ± in `pH`")
	f.StringVar(&p.Plan, "plan", "", "for a log of another program: the plan `file` of a determination; its amount is estimated as a run would")
	f.StringVar(&p.Of, "of", "", "for a log of another program: the `reagent` to be determined; its amount is estimated as a run would, without a plan")
	f.StringVar(&p.Titrant, "titrant", "", "with --of: the `reagent` of the titrant; default: NaOH or HCl, whichever way the pH goes")
	f.Float64Var(&p.DropUL, "drop-ul", 50, "for a log of another program: size of its drops, `µL`, if the lines above its table say nothing else")
	return c
}
