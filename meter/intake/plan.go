package intake

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/phrase"
)

// Fault is one thing in a plan that no bench has, with its key as the plan file
// spells it: "beaker.start_ml", "titrant[2].name".
type Fault struct {
	Key, What, Try string
}

// Faults are all faults of a plan.
type Faults []Fault

// Error lists the faults, one a line.
func (f Faults) Error() string {
	return strings.Join(phrase.Each(f, func(x Fault) string { return x.Key + ": " + x.What }), "\n")
}

// Limits of a plan (choice): what stands on a bench lies far inside. The coach
// has room for eight titrants.
const (
	MaxTitrants = 8
	maxWeighed  = 20

	minML, maxML       = 1, 1e5
	minMMol, maxMMol   = 1e-3, 1e6
	minGrams, maxGrams = 1e-5, 1e5
	minMolar, maxMolar = 1e-4, 25
)

// Plan reports whether a plan can be one of a bench: its names are names, its
// numbers lie in the ranges of a bench, and there are not too many of anything.
// What is missing, and what recipe.Compile judges by itself, is left to it. The
// error is of type Faults.
func Plan(p recipe.Plan) error {
	var f Faults
	f.words("name", p.Name)
	f.number("beaker.start_ml", p.Beaker.StartML, minML, maxML, "mL")
	f.number("beaker.final_ml", p.Beaker.FinalML, minML, maxML, "mL")
	if n := len(p.Weighed); n > maxWeighed {
		f.add("weighed", fmt.Sprintf("%d of them; %d are possible", n, maxWeighed), "leave out what is not in the beaker")
	}
	for i, w := range p.Weighed {
		key := fmt.Sprintf("weighed[%d].", i+1)
		f.words(key+"reagent", w.Reagent)
		f.number(key+"mmol", w.MMol, minMMol, maxMMol, "mmol")
		f.number(key+"grams", w.Grams, minGrams, maxGrams, "g")
	}
	if n := len(p.Titrants); n > MaxTitrants {
		f.add("titrant", fmt.Sprintf("%d of them; the coach has room for %d", n, MaxTitrants), "name only the bottles at the plate")
	}
	for i, t := range p.Titrants {
		key := fmt.Sprintf("titrant[%d].", i+1)
		f.words(key+"name", t.Name)
		f.words(key+"reagent", t.Reagent)
		f.words(key+"bottle", t.Bottle)
		f.words(key+"dropper", t.Dropper)
		f.words(key+"opened", t.Opened)
		f.number(key+"molar", t.Molar, minMolar, maxMolar, "mol/L")
	}
	if len(f) > 0 {
		return f
	}
	return nil
}

func (f *Faults) add(key, what, try string) { *f = append(*f, Fault{key, what, try}) }

// words refuses a text that is blank but not missing, too long, or does more than show.
func (f *Faults) words(key, s string) {
	if s == "" {
		return
	}
	if err := Name(s); err != nil {
		f.add(key, err.Error(), "use letters, digits and signs, at most "+fmt.Sprint(MaxName))
	}
}

// number refuses a number outside of a range, and what is no number.
func (f *Faults) number(key string, v *float64, low, high float64, unit string) {
	if v == nil || *v >= low && *v <= high {
		return
	}
	f.add(key, fmt.Sprintf("%s is outside %s to %s %s", long(*v), long(low), long(high), unit), "")
}

// long is a number written out, as long as anybody would write it so.
func long(x float64) string {
	if size := math.Abs(x); size == 0 || size >= 1e-4 && size < 1e9 {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}
