package main

import (
	"io"
	"os"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/tui/form"
	"example.org/halfdrop/tui/terminal"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// newPlanCommand is halfdrop plan: from a target to a plan file.
func newPlanCommand() *cobra.Command {
	var f form.Wanted
	cmd := &cobra.Command{
		Use:   "plan | --ph PH [--mM MM] [--ml ML] [--out FILE] | --check RECIPE [--ml ML]",
		Short: "From a target pH to a recipe, a bench sheet and a plan file",
		Long: `Chooses a buffer for a target, gives the recipe, the titrants and a bench sheet,
and writes the plan file that titrate works from. On a terminal and without
flags it asks for everything in a form.

The pH is that in use: made up to the mark, at the temperature of use (--temp).
The aim at the bench is another number; the sheet says which, and why.

--with names what else is in it, as it is in use: salts, metal ions, EDTA,
sugars, detergents, in mM, g/L or %. --strength 10x makes a stock that is right
once diluted tenfold; --mM and --with give what is in it in use.

--check examines an existing recipe, as people write it: parts separated
by semicolons, commas or lines, as in "Tris 6.06 g; HCl 1 M 40 mL; NaCl
100 mM" or "50 mM Tris-HCl pH 8.0, 150 mM NaCl, 10 % glycerol". A part with a
strength, a volume and a pH is a stock of that pH: "EDTA 0.5 M pH 8.0 2 mL".

A dropper is measured with halfdrop plan dropper. Strong acids and bases burn:
goggles, gloves, the safety data sheet of each bottle, the rules of your
laboratory.`,
		Example: `  halfdrop plan --ph 7.4 --temp 37 --mM 50 --ml 500 --out hepes.toml
  halfdrop plan --ph 7.0 --buffer phosphate --way salts --have "Na2HPO4·7H2O" --ionic 150
  halfdrop plan --ph 8.0 --buffer Tris --stock "Tris 1 M" --stock "HCl 1 M"
  halfdrop plan --ph 7.5 --buffer HEPES --mM 20 --with "NaCl 150 mM; MgCl2 5 mM; EDTA 1 mM; glycerol 10 %"
  halfdrop plan --ph 7.4 --buffer phosphate --mM 10 --with "NaCl 137 mM; KCl 2.7 mM" --strength 10x
  halfdrop plan --check "Tris 6.06 g; HCl 29 mmol" --ml 1000 --ph 8.0`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if !asks(cmd) && terminal.OnScreen(os.Stdin, os.Stdout) {
				return form.Ask(cmd.Context(), cmd.ErrOrStderr(), face)
			}
			f.Changed = cmd.Flags().Changed
			return f.Plan(form.Terminal{Out: cmd.OutOrStdout(), Talk: cmd.ErrOrStderr(), Paged: func(write func(io.Writer) error) error { return paged(cmd, write) }})
		},
	}
	addPlanFlags(cmd, &f)
	cmd.AddCommand(newDropperCommand())
	return cmd
}

func addPlanFlags(cmd *cobra.Command, f *form.Wanted) {
	fl := cmd.Flags()
	fl.Float64Var(&f.PH, "ph", 0, "pH wanted in use, 1 to 13")
	fl.Float64Var(&f.Tolerance, "tolerance", recipe.DefaultTolerance, "tolerance ± in pH, 0.01 to 1")
	fl.Float64Var(&f.TempC, "temp", 25, "temperature of use in °C, 0 to 60")
	fl.Float64Var(&f.BenchC, "bench-temp", recipe.DefaultTempC, "temperature at the stir plate in °C")
	fl.Float64Var(&f.MM, "mM", 50, "concentration of the buffer in mmol/L, all forms")
	fl.Float64Var(&f.ML, "ml", 500, "volume of the finished buffer in mL")
	fl.StringSliceVar(&f.Avoid, "avoid", nil, "`properties` to avoid, separated by commas: metals, calcium, aldehydes, uv, diols, volatile, temperature")
	fl.StringVar(&f.Buffer, "buffer", "", "`name` of a buffer or of the reagent to start from, instead of the best")
	fl.StringVar(&f.Way, "way", string(buffer.DefaultWay), "`method`: titrate, one form and a strong acid or base; salts, both forms mixed")
	fl.Float64Var(&f.IonicMM, "ionic", 0, "ionic strength in use in mM; 0 leaves it unadjusted")
	fl.StringVar(&f.Salt, "salt", "NaCl", "`salt` that raises the ionic strength")
	fl.Float64Var(&f.PurityPct, "purity", 100, "purity of the buffer substance in % by mass")
	fl.StringArrayVar(&f.Have, "have", nil, "solid `reagent` available, with its hydrate; may be repeated")
	fl.StringArrayVar(&f.Stock, "stock", nil, "`solution` in stock, as in \"HCl 1 M\", or \"NaOH 0.1 M, bottle K4\" where its strength was found; may be repeated")
	fl.StringVar(&f.Acid, "acid", "HCl", "strong `acid` to titrate with")
	fl.StringVar(&f.Base, "base", "", "strong `base` to titrate with; NaOH, or KOH for potassium salts")
	fl.Float64Var(&f.FillPct, "fill", 80, "how full the beaker is before titration, % of the mark")
	fl.Float64Var(&f.DropUL, "drop-ul", recipe.DefaultDropUL, "size of a drop in µL, if it was measured")
	fl.StringVar(&f.Dropper, "dropper", "", "`name` of a dropper that was measured with plan dropper")
	fl.BoolVar(&f.Anyway, "anyway", false, "allow a pKa′ beyond ±1, or a property that was to be avoided")
	fl.StringVar(&f.With, "with", "", "what else is in it, in use: a `list` such as \"NaCl 150 mM; glycerol 10 %\"")
	fl.StringVar(&f.Strength, "strength", "1x", "how many `times` stronger than in use to make it, as in 10x")
	fl.StringVar(&f.Check, "check", "", "examine an existing `recipe` instead")
	fl.StringVar(&f.Out, "out", "", "write the plan to this `file`; - writes the plan alone to standard output")
	fl.BoolVar(&f.Force, "force", false, "write over an existing file")
	fl.BoolVar(&f.List, "list", false, "list every candidate with its reasons, and no recipe")
	fl.BoolVar(&f.JSON, "json", false, "print one JSON object")
	fl.BoolVar(&f.Markdown, "markdown", false, "print for a notebook, in Markdown")
}

// asks reports whether the command line says what is wanted, and not only how
// it is to look.
func asks(cmd *cobra.Command) bool {
	said := false
	cmd.LocalNonPersistentFlags().VisitAll(func(f *pflag.Flag) { said = said || f.Changed })
	return said
}
