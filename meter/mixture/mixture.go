// Package mixture is what a command line says of a mixture, "KH2PO4 5 mmol" and so on,
// and what its pH is.
package mixture

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/sheet"
)

// Asked are the choices beside the reagents.
type Asked struct {
	TempC       float64 // °C, 0 to 60
	ML, KgWater float64 // final volume, or mass of water; one of them, or none for concentrations alone
	Open        bool    // to air with
	AirPPM      float64 // so much CO₂
	JSON        bool
	Species     bool // every one is printed
	Ideal       bool // without activity coefficients
	Davies      bool // with those of Davies
}

// Tell says the pH of the mixture that the arguments describe; notes go to talk.
func (f Asked) Tell(out, talk io.Writer, args []string) error {
	args = f.water(args)
	if f.ML == 0 && f.KgWater == 0 && perVolume(args) {
		f.ML = 1000 // concentrations need none
	}
	s, list, err := f.mixture(args)
	if err != nil {
		return err
	}
	for _, n := range f.taken(args) {
		fmt.Fprintf(talk, "halfdrop: note: %s\n", n)
	}
	opts, err := f.options()
	if err != nil {
		return err
	}
	r, err := solved.Describe(s, opts...)
	if err != nil {
		return Refused(err)
	}
	if err := table.CheckDissolved(list, s, r); err != nil {
		return remedy.With(phrase.Plain(err), "solubilities are from handbooks; no pH is given for what does not dissolve")
	}
	for _, flag := range r.Flags {
		fmt.Fprintf(talk, "halfdrop: note: %s\n", flag)
	}
	now, later, err := table.ComesOut(r)
	if err != nil {
		return err
	}
	for _, x := range now {
		fmt.Fprintf(talk, "halfdrop: note: the pH holds while everything is dissolved, but %s\n", table.Words(x))
	}
	if len(now) == 0 && len(later) > 0 {
		fmt.Fprintf(talk, "halfdrop: note: over days, or when heated, %s\n", table.Words(later[0]))
	}
	for _, n := range buffer.InAir(list, r.PH, s.Temp) {
		fmt.Fprintf(talk, "halfdrop: note: %s\n", n)
	}
	if f.JSON {
		return sheet.WriteMixtureJSON(out, r, f.Species)
	}
	return sheet.WriteMixture(out, r, f.Species)
}

// water takes the water out of the arguments, which says how much it is made up to, or by mass how
// much of it there is: "water 1 L", "water 1 kg".
func (f *Asked) water(args []string) (rest []string) {
	for _, arg := range args {
		v, byMass, ok := written.Water(arg)
		switch {
		case !ok || len(args) == 1 || f.ML != 0 || f.KgWater != 0:
			rest = append(rest, arg)
		case byMass:
			f.KgWater = v.Litres()
		default:
			f.ML = v.Millilitres()
		}
	}
	return rest
}

// perVolume reports whether all arguments are concentrations or shares, as recipes
// have them; what cannot be read is none, and said later.
func perVolume(args []string) bool {
	for _, arg := range args {
		if x, err := written.Read(arg, chem.Litre); err == nil && (x.Amounts || x.Volume > 0 || len(x.Parts) == 0) {
			return false
		}
	}
	return len(args) > 0
}

// mixture is the solution that the arguments describe.
func (f Asked) mixture(args []string) (chem.Solution, []table.Reagent, error) {
	s := chem.Solution{Temp: chem.Celsius(f.TempC)}
	if !(f.TempC >= 0 && f.TempC <= 60) {
		return s, nil, remedy.Call(fmt.Errorf("--temp %g: must be 0 to 60 °C", f.TempC))
	}
	if len(args) == 0 {
		return s, nil, remedy.Call(errors.New("empty mixture: no reagent given"), `give at least one, as in "KH2PO4 5 mmol"`)
	}
	switch {
	case f.ML != 0 && f.KgWater != 0:
		return s, nil, remedy.Call(errors.New("--ml and --kg-water exclude each other"), "give the final volume or the mass of water")
	case f.KgWater != 0:
		if !(f.KgWater > 0 && f.KgWater <= 1e6) {
			return s, nil, remedy.Call(fmt.Errorf("--kg-water %g: must be a mass above 0 kg", f.KgWater))
		}
		s.Water = chem.Mass(f.KgWater) * chem.Kilogram
		s.Volume = chem.Volume(f.KgWater / chem.WaterDensity(s.Temp))
	case f.ML > 0 && f.ML <= 1e9:
		s.Volume = chem.Volume(f.ML) * chem.Millilitre
	case f.ML == 0:
		return s, nil, remedy.Call(errors.New("--ml is missing: give a volume above 0 mL"), "--ml 100 for 100 mL, or --kg-water 1 for a molal mixture")
	default:
		return s, nil, remedy.Call(fmt.Errorf("--ml %g: must be a volume above 0 mL", f.ML))
	}
	return f.portions(s, args)
}

// portions adds the reagents of the arguments; its error lists all that is wrong
// with them.
func (f Asked) portions(s chem.Solution, args []string) (chem.Solution, []table.Reagent, error) {
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
		return s, nil, remedy.Call(errors.Join(wrong...), slices.Compact(hints)...)
	}
	return s, list, nil
}

// portion reads one argument: an amount or, in a volume that is known, a
// concentration or a stock, as recipes have them.
func (f Asked) portion(arg string, v chem.Volume) ([]written.Part, error) {
	r, n, err := parsePortion(arg)
	if err == nil {
		return []written.Part{{Ingredient: buffer.Ingredient{Reagent: r, Amount: n}}}, nil
	}
	if f.ML == 0 || slices.Contains(units, lastWord(arg)) {
		return nil, err
	}
	x, other := written.Read(arg, v)
	var bad recipe.Problems
	switch {
	case other == nil && math.IsNaN(x.PH) && x.Volume == 0:
		return x.Parts, nil
	case errors.As(other, &bad) && len(bad) == 1 && understood(arg):
		return nil, remedy.Call(phrase.Plain(other), bad.Hints()...)
	}
	return nil, err
}

// understood reports whether an argument ends in a unit of recipes, so that what is
// wrong with it is something else.
func understood(arg string) bool {
	return strings.HasSuffix(arg, "%") || slices.ContainsFunc([]string{"M", "mM", "µM", "uM", "nM", "N", "mL", "ml", "L", "g/L", "mg/mL"},
		func(u string) bool { return strings.HasSuffix(arg, " "+u) })
}

// taken is how the arguments were understood where they left a choice: "EDTA" is
// the disodium salt.
func (f Asked) taken(args []string) (out []string) {
	for _, arg := range args {
		words := strings.Fields(arg)
		if len(words) > 2 && slices.Contains(units, lastWord(arg)) {
			name := strings.Join(words[:len(words)-2], " ")
			if jar, ok := table.Taken(name); ok {
				out = append(out, fmt.Sprintf("%q is taken as %s", name, jar))
			}
			continue
		}
		if x, err := written.Read(arg, chem.Volume(f.ML)*chem.Millilitre); err == nil {
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

func (f Asked) options() ([]chem.Option, error) {
	var opts []chem.Option
	switch {
	case f.Ideal && f.Davies:
		return nil, remedy.Call(errors.New("--ideal and --davies exclude each other"), "leave one out")
	case f.Ideal:
		opts = append(opts, chem.Ideal)
	case f.Davies:
		opts = append(opts, chem.Davies)
	}
	if f.Open {
		if !(f.AirPPM > 0 && f.AirPPM <= 1e6) {
			return nil, remedy.Call(fmt.Errorf("--open-air %g: must be above 0 and at most 1000000 ppm of CO₂", f.AirPPM), "outdoor air has about 420 ppm; leave the flag out for a closed vessel")
		}
		opts = append(opts, chem.OpenToAir(f.AirPPM*1e-6))
	}
	return opts, nil
}

// parsePortion reads "NAME AMOUNT UNIT".
func parsePortion(arg string) (table.Reagent, chem.Amount, error) {
	var none table.Reagent
	words := strings.Fields(arg)
	if len(words) < 3 {
		return none, 0, remedy.Call(fmt.Errorf("%q: a reagent is given as \"NAME AMOUNT UNIT\"", arg), `as in "KH2PO4 5 mmol" or "Tris 1.21 g", in quotes`)
	}
	n := len(words)
	name, amount, unit := strings.Join(words[:n-2], " "), words[n-2], words[n-1]
	x, err := strconv.ParseFloat(amount, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return none, 0, remedy.Call(fmt.Errorf("%q: the amount %q is not a number", arg, amount), "write 2.91, with a decimal point")
	}
	if x < 0 {
		return none, 0, remedy.Call(fmt.Errorf("%q: amount %g is below zero", arg, x), "give an amount of zero or more")
	}
	switch unit {
	case "mol", "mmol":
		r, err := table.ByAmount(name)
		if err != nil {
			return none, 0, remedy.Call(phrase.Plain(err))
		}
		if !r.Definite() {
			return none, 0, remedy.Call(fmt.Errorf("%q: %s is a mixture without a molar mass", arg, r.Name), "give it in g")
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
			return none, 0, remedy.Call(phrase.Plain(err))
		}
		return r, m, nil
	}
	return none, 0, remedy.Call(fmt.Errorf("%q: unit %q is not known", arg, unit), "use mmol, mol, g or mg, and mM or % where --ml says the volume")
}

// Refused is why a mixture has no pH, with what to try.
func Refused(err error) error {
	var hints []string
	switch {
	case errors.Is(err, chem.ErrEmpty):
		hints = []string{`as in "KH2PO4 5 mmol"`}
	case errors.Is(err, chem.ErrUnbalanced):
		hints = []string{"no aqueous solution has this composition; check the amounts"}
	case errors.Is(err, chem.ErrAbsurd):
		hints = []string{"check the amounts, their units and the volume"}
	}
	return remedy.Call(phrase.Plain(err), hints...)
}
