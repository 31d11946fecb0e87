package view

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/probe"
)

// Finding is the answer of a run that looks for an amount, as far as it is known.
type Finding struct {
	find.Found
	Classic find.Classic   // at the main equivalence point, mL
	Each    []find.Classic // at each of them
	Stock   string         // that it is counted in
	Strong  bool           // the sample is a strong acid or base, to Gran's method
	Hidden  bool           // what is known is kept from the person: see Hushed
}

// hushed is what is looked for, without what is known of it.
func (f *Finding) hushed() *Finding {
	nan := math.NaN()
	return &Finding{Hidden: true, Stock: f.Stock, Strong: f.Strong, Classic: find.Classic{Steepest: nan, Second: nan, Before: nan, After: nan},
		Found: find.Found{What: f.What, Name: f.Name, Goal: f.Goal, GoalPK: f.GoalPK, Value: nan, SD: nan, PK: nan, PKSD: nan, Main: -1}}
}

// Words are the answer with its spread: "NaOH 0.1 M is 0.1012 ± 0.0002 mol/L".
func (f *Finding) Words() string {
	switch f.What {
	case find.Amount:
		return f.Short() + " of " + f.Name
	case find.Blank:
		return "the blank is " + f.Short() + " of " + f.Name
	}
	return f.Name + " is " + f.Short()
}

// Short is the answer alone.
func (f *Finding) Short() string {
	switch f.What {
	case find.Strength:
		return Spread(f.Value, f.SD, "mol/L")
	case find.Blank:
		return Spread(f.Value*1e3, f.SD*1e3, "mL")
	case find.Constant:
		return "pK " + Spread(f.PK, f.PKSD, "") + ", " + Spread(f.Value*1e3, f.SD*1e3, "mmol")
	}
	text := Spread(f.Value*1e3, f.SD*1e3, "mmol")
	if f.Molar > 0 {
		text += ", " + Spread(f.Molar, f.MolarSD, "mol/L")
	}
	return text
}

// Percent is the relative spread in words.
func (f *Finding) Percent() string {
	if f.What == find.Blank {
		return fmt.Sprintf("%.2g mL", f.SD*1e3)
	}
	text := percent(f.Relative())
	if f.What == find.Constant {
		text += fmt.Sprintf(", pK %.2g", f.PKSD)
	}
	return text
}

// Wanted is the spread that is wanted, in words.
func (f *Finding) Wanted() string {
	if f.What == find.Blank {
		return fmt.Sprintf("%.2g mL", f.Goal*1e3)
	}
	text := percent(f.Goal)
	if f.What == find.Constant {
		text += fmt.Sprintf(", pK %.2g", f.GoalPK)
	}
	return text
}

func percent(share float64) string {
	switch p := 100 * share; {
	case p >= 10:
		return fmt.Sprintf("%.0f %%", p)
	case p >= 1:
		return fmt.Sprintf("%.1f %%", p)
	default:
		return fmt.Sprintf("%.2f %%", p)
	}
}

// Spread writes a value and its standard deviation to two digits of the latter.
func Spread(v, sd float64, unit string) string {
	digits := 4
	if sd > 0 && !math.IsInf(sd, 0) {
		digits = min(max(1-int(math.Floor(math.Log10(sd))), 0), 8)
	}
	return strings.TrimSpace(fmt.Sprintf("%.*f ± %.*f %s", digits, v, digits, sd, unit))
}

// Limit is what the spread is made of, the two largest parts, with what would help
// against the first.
func (f *Finding) Limit() string {
	if len(f.Causes) == 0 {
		return ""
	}
	percent := percent
	if f.What == find.Blank {
		percent = func(l float64) string { return fmt.Sprintf("%.2g mL", l*1e3) }
	}
	text := fmt.Sprintf("%s %s", f.Causes[0].Cause, percent(f.Causes[0].SD))
	if f.Widened > widened {
		return fmt.Sprintf("scattering readings, which make it %.1f times as wide; then %s", f.Widened, text)
	}
	if len(f.Causes) > 1 {
		text += fmt.Sprintf(", %s %s", f.Causes[1].Cause, percent(f.Causes[1].SD))
	}
	return text
}

// widened is how many times a spread is wider by the scatter of the readings before
// that is named as what limits it (choice).
const widened = 1.3

// Points are the equivalence points in words: "25.03 ± 0.02 mL, at pH 8.6".
func (f *Finding) Points() []string {
	var out []string
	for _, s := range f.Stations {
		out = append(out, fmt.Sprintf("%s at pH %.1f", Spread(s.Volume.Millilitres(), s.SD.Millilitres(), "mL"), s.PH))
	}
	return out
}

// findReason is the reason of an advice that looks for an amount; empty for any other.
func (v View) findReason() string {
	f := v.Found
	if f == nil {
		return ""
	}
	switch v.Advice.Reason {
	case coach.Tells:
		return fmt.Sprintf("its reading tells most: about %s; so far %s (%s; %s wanted)", v.landing(), f.Short(), f.Percent(), f.Wanted())
	case coach.Sure:
		return fmt.Sprintf("known to %s, %s was wanted; limited by %s", f.Percent(), f.Wanted(), f.Limit())
	case coach.AsGood:
		return fmt.Sprintf("known to %s, and no addition would improve it much; limited by %s%s", f.Percent(), f.Limit(), f.cure())
	case coach.Misfit:
		return fmt.Sprintf("the readings scatter %.1f times as much as they should: another substance, another hydrate, an addition that is not on record, or a meter that is badly off. c: it is as planned", math.Sqrt(f.Misfit))
	case coach.NoPoint:
		return "the readings show no equivalence point within the vessel: is it the right titrant, and is the sample in? c: it is as planned"
	case coach.NoRoom:
		return "the vessel is full to its mark: the answer is " + f.Short() + ", known to " + f.Percent()
	case coach.Settling:
		if v.Settling.State == probe.Settled || v.Settling.State == probe.Settling && v.Settling.SD < VagueSD {
			return fmt.Sprintf("on its way to about %s ± %s; a better reading would improve the answer", v.ph(v.Settling.End), v.spread(v.Settling.SD))
		}
	}
	return ""
}

// repeatAt is how many times the spread wanted may be left before a repeat is advised.
const repeatAt = 1.5

func (f *Finding) cure() string {
	text := ""
	if c := recipe.Cure(f.Causes[0].Cause); c != "" {
		text = ": " + c
	}
	if f.Relative() > repeatAt*f.Goal {
		text += "; a repeat comes closer if its plan starts with this answer and its spread"
	}
	return text
}

// Common is the part of the relative spread that repeats with the same things have in
// common, so that no mean makes it smaller.
func (f *Finding) Common() float64 {
	v := 0.0
	for _, c := range f.Causes {
		switch c.Cause {
		case find.OfPurity, find.OfStrength, find.OfSize, find.OfBurette, find.OfMeter, find.OfCarbonate, find.OfConstant:
			v += c.SD * c.SD
		}
	}
	return math.Sqrt(v)
}

// Differ says why the classical answers differ from the estimate.
func (f *Finding) Differ() string {
	if f.Main < 0 {
		return ""
	}
	v := f.Stations[f.Main].Volume.Millilitres()
	far := func(x, share float64) bool { return !math.IsNaN(x) && math.Abs(x-v) > share*v }
	var out []string
	if far(f.Classic.Steepest, 0.002) {
		out = append(out, "the steepest point is the middle of an interval, no finer than the additions there")
	}
	if far(f.Classic.Before, 0.005) {
		out = append(out, "Gran before it treats the acid as simple: other steps, dilution and salt bend its line")
	}
	if far(f.Classic.After, 0.005) {
		out = append(out, "Gran after it treats all of the base as hydroxide: carbonate, and a wrong slope of the meter, shift it")
	}
	c := f.Classic
	switch {
	case math.IsNaN(c.Steepest) && math.IsNaN(c.Second) && math.IsNaN(c.Before) && math.IsNaN(c.After):
		return "there are too few readings for any of them"
	case len(out) == 0:
		return "they agree"
	}
	return strings.Join(out, "; ")
}
