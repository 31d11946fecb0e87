package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/sheet"
	"github.com/spf13/cobra"
)

// phFlags are the choices of halfdrop ph.
type phFlags struct {
	tempC, ml, kgWater, airPPM float64
	asJSON, species, open      bool
	ideal, davies              bool
}

// newPhCommand is halfdrop ph: the pH of a mixture.
func newPhCommand() *cobra.Command {
	var f phFlags
	cmd := &cobra.Command{
		Use:   `ph "NAME AMOUNT UNIT"…`,
		Short: "pH, ionic strength and buffer capacity of a mixture",
		Long: `The pH at equilibrium of reagents dissolved in water and made up to a volume
(--ml) or in a mass of water (--kg-water). Each argument is one reagent, found
by name, formula or usual synonym, with its amount in mmol, mol, g or mg, or
with --ml as "Tris 50 mM", "glycerol 10 %" or "HCl 1 M 25 mL". A mass needs the
hydrate to be said, an amount of substance does not.

The pH is -log10 of the activity of H+. Every ion has an activity coefficient of
its own, by Pitzer's equations on the scale of Bates and Guggenheim, checked up
to an ionic strength of 3 mol/kg; ions without parameters take those of their
class. Complexes of metal ions are included, and salts that precipitate are
named. The ± is one standard deviation, and the notes say what it rests on.
Volumes are turned into masses of water by the volume the solutes take up.`,
		Example: `  halfdrop ph --temp 25 --ml 100 "KH2PO4 5 mmol" "NaOH 2.91 mmol"
  halfdrop ph --kg-water 1 "KHP 50 mmol" --species
  halfdrop ph --ml 1000 "HEPES 20 mmol" "KOH 12 mmol" "CaCl2 1 mmol" "EGTA 2 mmol" --species`,
		RunE: func(cmd *cobra.Command, args []string) error {
			f.open = cmd.Flags().Changed("open-air")
			return runPh(cmd, args, f)
		},
	}
	fl := cmd.Flags()
	fl.Float64Var(&f.tempC, "temp", 25, "temperature in °C, 0 to 60")
	fl.Float64Var(&f.ml, "ml", 0, "final volume in mL")
	fl.Float64Var(&f.kgWater, "kg-water", 0, "mass of water in kg, for molal standards")
	fl.BoolVar(&f.asJSON, "json", false, "print one JSON object")
	fl.BoolVar(&f.species, "species", false, "print every species as well")
	fl.BoolVar(&f.davies, "davies", false, "use Davies' activity coefficients, as a cross-check below 0.3 mol/kg")
	fl.BoolVar(&f.ideal, "ideal", false, "leave activity coefficients out, to compare with textbooks")
	fl.Float64Var(&f.airPPM, "open-air", 1e6*chem.AmbientCO2, "open to air with this much CO₂ in ppm (as --open-air=PPM)")
	fl.Lookup("open-air").NoOptDefVal = fmt.Sprint(math.Round(1e6 * chem.AmbientCO2))
	return cmd
}

func runPh(cmd *cobra.Command, args []string, f phFlags) error {
	s, list, err := f.mixture(args)
	if err != nil {
		return err
	}
	for _, n := range f.taken(args) {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: note: %s\n", n)
	}
	opts, err := f.options()
	if err != nil {
		return err
	}
	r, err := chem.Describe(s, opts...)
	if err != nil {
		return describeError(err)
	}
	if err := table.CheckDissolved(list, s, r); err != nil {
		return withHint(phrase.Plain(err), "solubilities are from handbooks; no pH is given for what does not dissolve")
	}
	for _, flag := range r.Flags {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: note: %s\n", flag)
	}
	now, later, err := table.ComesOut(r)
	if err != nil {
		return err
	}
	for _, x := range now {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: note: the pH holds while everything is dissolved, but %s\n", table.Words(x))
	}
	if len(now) == 0 && len(later) > 0 {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: note: over days, or when heated, %s\n", table.Words(later[0]))
	}
	if f.asJSON {
		return sheet.WriteMixtureJSON(cmd.OutOrStdout(), r, f.species)
	}
	return sheet.WriteMixture(cmd.OutOrStdout(), r, f.species)
}

// mixture is the solution that the arguments describe.
func (f phFlags) mixture(args []string) (chem.Solution, []table.Reagent, error) {
	s := chem.Solution{Temp: chem.Celsius(f.tempC)}
	if !(f.tempC >= 0 && f.tempC <= 60) {
		return s, nil, usageError(fmt.Errorf("--temp %g: must be 0 to 60 °C", f.tempC))
	}
	if len(args) == 0 {
		return s, nil, usageError(errors.New("empty mixture: no reagent given"), `give at least one, as in "KH2PO4 5 mmol"`)
	}
	switch {
	case f.ml != 0 && f.kgWater != 0:
		return s, nil, usageError(errors.New("--ml and --kg-water exclude each other"), "give the final volume or the mass of water")
	case f.kgWater != 0:
		if !(f.kgWater > 0 && f.kgWater <= 1e6) {
			return s, nil, usageError(fmt.Errorf("--kg-water %g: must be a mass above 0 kg", f.kgWater))
		}
		s.Water = chem.Mass(f.kgWater) * chem.Kilogram
		s.Volume = chem.Volume(f.kgWater / chem.WaterDensity(s.Temp))
	case f.ml > 0 && f.ml <= 1e9:
		s.Volume = chem.Volume(f.ml) * chem.Millilitre
	case f.ml == 0:
		return s, nil, usageError(errors.New("--ml is missing: give a volume above 0 mL"), "--ml 100 for 100 mL, or --kg-water 1 for a molal mixture")
	default:
		return s, nil, usageError(fmt.Errorf("--ml %g: must be a volume above 0 mL", f.ml))
	}
	return f.portions(s, args)
}

// portions adds the reagents of the arguments; its error lists all that is wrong
// with them.
func (f phFlags) portions(s chem.Solution, args []string) (chem.Solution, []table.Reagent, error) {
	var list []table.Reagent
	var wrong []error
	var hints []string
	for _, arg := range args {
		parts, err := f.portion(arg, s.Volume)
		if err != nil {
			wrong = append(wrong, err)
			var e *remedy.Error
			if errors.As(err, &e) {
				hints = append(hints, e.Hints...)
			}
			continue
		}
		for _, p := range parts {
			list = append(list, p.Reagent)
			s = chem.Mix(s, p.Reagent.Dissolved(p.Amount).At(s.Temp))
		}
	}
	if len(wrong) > 0 {
		slices.Sort(hints)
		return s, nil, usageError(errors.Join(wrong...), slices.Compact(hints)...)
	}
	return s, list, nil
}

// portion reads one argument: an amount or, in a volume that is known, a
// concentration or a stock, as recipes have them.
func (f phFlags) portion(arg string, v chem.Volume) ([]recipe.Ingredient, error) {
	r, n, err := parsePortion(arg)
	if err == nil {
		return []recipe.Ingredient{{Reagent: r, Amount: n}}, nil
	}
	if f.ml == 0 || slices.Contains(units, lastWord(arg)) {
		return nil, err
	}
	x, other := recipe.Read(arg, v)
	var bad recipe.Problems
	switch {
	case other == nil && math.IsNaN(x.PH) && x.Volume == 0:
		return x.Parts, nil
	case errors.As(other, &bad) && len(bad) == 1 && strings.Contains(bad[0].What, "unknown reagent"):
		return nil, usageError(phrase.Plain(other))
	}
	return nil, err
}

// taken is how the arguments were understood where they left a choice: "EDTA" is
// the disodium salt.
func (f phFlags) taken(args []string) (out []string) {
	for _, arg := range args {
		words := strings.Fields(arg)
		if len(words) > 2 && slices.Contains(units, lastWord(arg)) {
			name := strings.Join(words[:len(words)-2], " ")
			if jar, ok := table.Taken(name); ok {
				out = append(out, fmt.Sprintf("%q is taken as %s", name, jar))
			}
			continue
		}
		if x, err := recipe.Read(arg, chem.Volume(f.ml)*chem.Millilitre); err == nil {
			out = append(out, x.Notes...)
		}
	}
	return out
}

// units are those of an amount; the others count for a volume.
var units = []string{"mol", "mmol", "g", "mg"}

func lastWord(s string) string {
	words := strings.Fields(s)
	if len(words) == 0 {
		return ""
	}
	return words[len(words)-1]
}

func (f phFlags) options() ([]chem.Option, error) {
	var opts []chem.Option
	switch {
	case f.ideal && f.davies:
		return nil, usageError(errors.New("--ideal and --davies exclude each other"), "leave one out")
	case f.ideal:
		opts = append(opts, chem.Ideal)
	case f.davies:
		opts = append(opts, chem.Davies)
	}
	if f.open {
		if !(f.airPPM > 0 && f.airPPM <= 1e6) {
			return nil, usageError(fmt.Errorf("--open-air %g: must be above 0 and at most 1000000 ppm of CO₂", f.airPPM), "outdoor air has about 420 ppm; leave the flag out for a closed vessel")
		}
		opts = append(opts, chem.OpenToAir(f.airPPM*1e-6))
	}
	return opts, nil
}

// parsePortion reads "NAME AMOUNT UNIT".
func parsePortion(arg string) (table.Reagent, chem.Amount, error) {
	var none table.Reagent
	words := strings.Fields(arg)
	if len(words) < 3 {
		return none, 0, usageError(fmt.Errorf("%q: a reagent is given as \"NAME AMOUNT UNIT\"", arg), `as in "KH2PO4 5 mmol" or "Tris 1.21 g", in quotes`)
	}
	n := len(words)
	name, amount, unit := strings.Join(words[:n-2], " "), words[n-2], words[n-1]
	x, err := strconv.ParseFloat(amount, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return none, 0, usageError(fmt.Errorf("%q: the amount %q is not a number", arg, amount), "write 2.91, with a decimal point")
	}
	if x < 0 {
		return none, 0, usageError(fmt.Errorf("%q: amount %g is below zero", arg, x), "give an amount of zero or more")
	}
	switch unit {
	case "mol", "mmol":
		r, err := table.ByAmount(name)
		if err != nil {
			return none, 0, usageError(phrase.Plain(err))
		}
		if !r.Definite() {
			return none, 0, usageError(fmt.Errorf("%q: %s is a mixture without a molar mass", arg, r.Name), "give it in g")
		}
		if unit == "mmol" {
			x *= 1e-3
		}
		return r, chem.Amount(x), nil
	case "g", "mg":
		if unit == "mg" {
			x *= 1e-3
		}
		r, m, err := table.FromMass(name, chem.Mass(x), 1)
		if err != nil {
			return none, 0, usageError(phrase.Plain(err))
		}
		return r, m, nil
	}
	return none, 0, usageError(fmt.Errorf("%q: unit %q is not known", arg, unit), "use mmol, mol, g or mg, and mM or % where --ml says the volume")
}

func describeError(err error) error {
	hint := ""
	switch {
	case errors.Is(err, chem.ErrEmpty):
		hint = `as in "KH2PO4 5 mmol"`
	case errors.Is(err, chem.ErrUnbalanced):
		hint = "no aqueous solution has this composition; check the amounts"
	case errors.Is(err, chem.ErrAbsurd):
		hint = "check the amounts, their units and the volume"
	default:
		return usageError(phrase.Plain(err))
	}
	return usageError(phrase.Plain(err), hint)
}
