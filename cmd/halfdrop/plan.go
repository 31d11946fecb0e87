package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/sheet"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/textfile"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// planFlags are the choices of halfdrop plan.
type planFlags struct {
	ph, tolerance, tempC, benchC, mM, ml  float64
	ionicMM, purityPct, fillPct, dropUL   float64
	avoid, have, stock                    []string
	buffer, way, salt, acid, base         string
	dropper, out, check                   string
	with, strength                        string
	anyway, force, asJSON, markdown, list bool
	changed                               func(name string) bool
}

// newPlanCommand is halfdrop plan: from a target to a plan file.
func newPlanCommand() *cobra.Command {
	var f planFlags
	cmd := &cobra.Command{
		Use:   "plan",
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
			f.changed = cmd.Flags().Changed
			return runPlan(cmd, f)
		},
	}
	f.register(cmd)
	cmd.AddCommand(newDropperCommand())
	return cmd
}

func (f *planFlags) register(cmd *cobra.Command) {
	fl := cmd.Flags()
	fl.Float64Var(&f.ph, "ph", 0, "pH wanted in use, 1 to 13")
	fl.Float64Var(&f.tolerance, "tolerance", recipe.DefaultTolerance, "tolerance ± in pH, 0.01 to 1")
	fl.Float64Var(&f.tempC, "temp", 25, "temperature of use in °C, 0 to 60")
	fl.Float64Var(&f.benchC, "bench-temp", recipe.DefaultTempC, "temperature at the stir plate in °C")
	fl.Float64Var(&f.mM, "mM", 50, "concentration of the buffer in mmol/L, all forms")
	fl.Float64Var(&f.ml, "ml", 500, "volume of the finished buffer in mL")
	fl.StringSliceVar(&f.avoid, "avoid", nil, "`properties` to avoid, separated by commas: metals, calcium, aldehydes, uv, diols, volatile, temperature")
	fl.StringVar(&f.buffer, "buffer", "", "`name` of a buffer or of the reagent to start from, instead of the best")
	fl.StringVar(&f.way, "way", string(recipe.DefaultWay), "`method`: titrate, one form and a strong acid or base; salts, both forms mixed")
	fl.Float64Var(&f.ionicMM, "ionic", 0, "ionic strength in use in mM; 0 leaves it unadjusted")
	fl.StringVar(&f.salt, "salt", "NaCl", "`salt` that raises the ionic strength")
	fl.Float64Var(&f.purityPct, "purity", 100, "purity of the buffer substance in % by mass")
	fl.StringArrayVar(&f.have, "have", nil, "solid `reagent` available, with its hydrate; may be repeated")
	fl.StringArrayVar(&f.stock, "stock", nil, "`solution` in stock, as in \"HCl 1 M\", or \"NaOH 0.1 M, bottle K4\" where its strength was found; may be repeated")
	fl.StringVar(&f.acid, "acid", "HCl", "strong `acid` to titrate with")
	fl.StringVar(&f.base, "base", "", "strong `base` to titrate with; NaOH, or KOH for potassium salts")
	fl.Float64Var(&f.fillPct, "fill", 80, "how full the beaker is before titration, % of the mark")
	fl.Float64Var(&f.dropUL, "drop-ul", recipe.DefaultDropUL, "size of a drop in µL, if it was measured")
	fl.StringVar(&f.dropper, "dropper", "", "`name` of a dropper that was measured with plan dropper")
	fl.BoolVar(&f.anyway, "anyway", false, "allow a pKa′ beyond ±1, or a property that was to be avoided")
	fl.StringVar(&f.with, "with", "", "what else is in it, in use: a `list` such as \"NaCl 150 mM; glycerol 10 %\"")
	fl.StringVar(&f.strength, "strength", "1x", "how many `times` stronger than in use to make it, as in 10x")
	fl.StringVar(&f.check, "check", "", "examine an existing `recipe` instead")
	fl.StringVar(&f.out, "out", "", "write the plan to this `file`; - writes the plan alone to standard output")
	fl.BoolVar(&f.force, "force", false, "write over an existing file")
	fl.BoolVar(&f.list, "list", false, "list every candidate with its reasons, and no recipe")
	fl.BoolVar(&f.asJSON, "json", false, "print one JSON object")
	fl.BoolVar(&f.markdown, "markdown", false, "print for a notebook, in Markdown")
}

// asks reports whether the command line says what is wanted, and not only how
// it is to look.
func asks(cmd *cobra.Command) bool {
	said := false
	cmd.LocalNonPersistentFlags().VisitAll(func(f *pflag.Flag) { said = said || f.Changed })
	return said
}

func runPlan(cmd *cobra.Command, f planFlags) error {
	switch {
	case !asks(cmd) && onTerminal():
		return planForm(cmd)
	case f.asJSON && f.markdown:
		return usageError(errors.New("--json and --markdown exclude each other"), "leave one out")
	case f.changed("check") && strings.TrimSpace(f.check) == "":
		return usageError(errors.New("--check: it holds no recipe"), `as in --check "50 mM Tris-HCl pH 8.0, 150 mM NaCl"`)
	case f.check != "":
		return runPlanCheck(cmd, f)
	case !f.changed("ph"):
		return usageError(errors.New("no target"), "give the pH wanted in use with --ph, as in --ph 7.4; on a terminal halfdrop plan alone asks")
	}
	d, err := f.demand()
	if err != nil {
		return err
	}
	known, err := knowBottles(&d, time.Now())
	if err != nil {
		return err
	}
	for _, w := range known {
		fmt.Fprintln(cmd.ErrOrStderr(), "halfdrop: known: "+w)
	}
	list, err := recipe.Rank(d)
	if err != nil {
		return planError(err)
	}
	if f.list {
		return paged(cmd, func(w io.Writer) error { return sheet.WriteCandidates(w, d, list, f.asJSON) })
	}
	best, err := recipe.Pick(d, list)
	if err != nil {
		return planError(err)
	}
	x, err := recipe.DraftFor(d, best)
	if err != nil {
		return planError(err)
	}
	return f.deliver(cmd, x, list)
}

// deliver writes the plan if that was asked, and prints the rest.
func (f planFlags) deliver(cmd *cobra.Command, x *recipe.Draft, list []recipe.Candidate) error {
	name := f.out
	if name == "" {
		name = "PLAN.toml"
	} else if name == textfile.StandardInput {
		return planfile.Write(cmd.OutOrStdout(), x.Plan, planfile.Reasons(x)) // the plan and nothing else
	} else if err := planfile.Save(name, x, f.force); err != nil {
		return err
	}
	out := cmd.OutOrStdout()
	var err error
	switch {
	case f.asJSON:
		err = sheet.WriteJSON(out, x, list, name)
	case f.markdown:
		err = sheet.Write(out, sheet.Markdown{}, x, list, name)
	default:
		err = paged(cmd, func(w io.Writer) error { return sheet.Write(w, sheet.Plain, x, list, name) })
	}
	if err != nil {
		return err
	}
	if f.out == "" {
		fmt.Fprintln(cmd.ErrOrStderr(), "halfdrop: note: no plan file was written; --out FILE writes one for titrate")
	} else {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: plan written to %s\n", name)
	}
	return nil
}

// demand turns the flags into a demand.
func (f planFlags) demand() (recipe.Demand, error) {
	for _, v := range []struct {
		name string
		v    float64
	}{{"ph", f.ph}, {"tolerance", f.tolerance}, {"temp", f.tempC}, {"bench-temp", f.benchC}, {"mM", f.mM}, {"ml", f.ml},
		{"ionic", f.ionicMM}, {"purity", f.purityPct}, {"fill", f.fillPct}, {"drop-ul", f.dropUL}} {
		if math.IsNaN(v.v) || math.IsInf(v.v, 0) {
			return recipe.Demand{}, usageError(fmt.Errorf("--%s %g is not a number to work with", v.name, v.v))
		}
	}
	d := recipe.NewDemand(f.ph)
	d.Tolerance, d.Use, d.Bench = f.tolerance, chem.Celsius(f.tempC), chem.Celsius(f.benchC)
	d.Molar, d.Volume, d.Fill = chem.Molarity(f.mM*1e-3), chem.Volume(f.ml)*chem.Millilitre, f.fillPct/100
	d.Ionic, d.Salt, d.Purity = f.ionicMM*1e-3, f.salt, f.purityPct/100
	d.Buffer, d.Way, d.Have, d.Acid, d.Base, d.Anyway = f.buffer, recipe.Way(f.way), f.have, f.acid, f.base, f.anyway
	for _, a := range f.avoid {
		if a = strings.ToLower(strings.TrimSpace(a)); a == "temperature" {
			d.Steady = true
		} else if a != "" && !slices.Contains(d.Avoid, table.Property(a)) {
			d.Avoid = append(d.Avoid, table.Property(a))
		}
	}
	for _, s := range f.stock {
		b, err := recipe.ReadBottle(s)
		if err != nil {
			return d, planError(err)
		}
		d.Bottles = append(d.Bottles, b)
	}
	var err error
	if d.Times, err = times(f.strength); err != nil {
		return d, err
	}
	if f.check == "" {
		if d.With, err = f.besides(d); err != nil {
			return d, err
		}
	}
	return d, f.drop(&d)
}

// times reads "10x".
func times(text string) (float64, error) {
	s := strings.TrimRight(strings.TrimSpace(strings.ToLower(text)), "x×-fold ")
	if s == "" && text == "" {
		return 1, nil
	}
	n, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil || !(n >= 1 && n <= 100) {
		return 1, usageError(fmt.Errorf("--strength %q: must be 1x to 100x", text), "10x makes a stock that is diluted ten times before use")
	}
	return n, nil
}

// besides reads what is in it beside the buffer, for all that is made.
func (f planFlags) besides(d recipe.Demand) ([]recipe.Ingredient, error) {
	if strings.TrimSpace(f.with) == "" {
		return nil, nil
	}
	r, err := recipe.Read(f.with, d.Volume*chem.Volume(d.Times))
	if err != nil {
		return nil, planError(inField(err, "with"))
	}
	if !math.IsNaN(r.PH) || r.Volume > 0 {
		return nil, usageError(errors.New("--with names substances; pH and volume have flags of their own"), "--ph and --ml")
	}
	// What brought a stock to its pH is no part of the sheet, which is titrated as a whole.
	return slices.DeleteFunc(r.Parts, func(p recipe.Ingredient) bool { return p.Brings }), nil
}

// inField puts the problems of a recipe down to a flag.
func inField(err error, field string) error {
	var bad recipe.Problems
	if !errors.As(err, &bad) {
		return err
	}
	for i := range bad {
		bad[i].Field = field
	}
	return bad
}

// drop takes the size of the drop from the flag or from a measured dropper.
func (f planFlags) drop(d *recipe.Demand) error {
	switch {
	case f.dropper != "" && f.changed("drop-ul"):
		return usageError(errors.New("--dropper and --drop-ul exclude each other"), "leave one out")
	case f.dropper != "":
		x, err := shelf.FindDropper(f.dropper)
		if err != nil {
			return err
		}
		d.DropUL, d.DropSDPct = &x.DropUL, &x.DropSDPct
	case f.changed("drop-ul"):
		d.DropUL = &f.dropUL
	}
	return nil
}

// withFlags says the flags for what a hint says in words.
var withFlags = strings.NewReplacer("allow pKa′ beyond ±1", "allow pKa′ beyond ±1 (--anyway)", "two salts", "two salts (--way salts)", "start with less water", "start with less water (--fill)",
	"a stronger bottle", "a stronger bottle (--stock)", "one form and a strong acid or base", "one form and a strong acid or base (--way titrate)", "which forms are available", "which forms are available (--have)",
	"name it and", "name it (--buffer) and")

// planError gives the problems of a demand as flags with hints.
func planError(err error) error {
	var bad recipe.Problems
	if !errors.As(err, &bad) {
		return usageError(phrase.Plain(err))
	}
	var lines []error
	for _, b := range bad {
		what := phrase.Plain(errors.New(b.What)).Error()
		switch {
		case b.Field == "" || strings.ContainsAny(b.Field, ".["):
		case b.Field == "titrant" || b.Field == "weighed": // of the plan, and no flag
			what = b.Field + ": " + what
		default:
			what = "--" + b.Field + ": " + what
		}
		lines = append(lines, errors.New(what))
	}
	hints := bad.Hints()
	for i := range hints {
		hints[i] = withFlags.Replace(hints[i])
	}
	return usageError(errors.Join(lines...), hints...)
}
