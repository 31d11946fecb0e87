package dip

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/remedy"
)

// Wanted is which standards are to be read.
type Wanted struct {
	Standards []string // nominal values, in the order in which they are read; nil to choose them by the aim
	Set       string   // where nominal values are looked for first
	Target    float64  // pH; NaN for none
	Check     string   // a standard that only checks; empty for none
	Lots      map[string]string
	Expiries  map[string]string
	Plan      *recipe.Plan // nil for none
}

// Choices are the standards to read, and why these.
func (w *Wanted) Choices() (list []walk.Choice, why string, err error) {
	set := standards.Set(w.Set)
	if len(standards.Of(set)) == 0 {
		return nil, "", remedy.Call(fmt.Errorf("--set %s is not a set of standards", w.Set), "use technical, primary, technical-20 or technical-7.01")
	}
	var taken []standards.Standard
	if len(w.Standards) > 0 {
		for _, name := range strings.Fields(strings.Join(w.Standards, " ")) { // commas or blanks between them
			s, err := standards.Find(name, set)
			if err != nil {
				return nil, "", remedy.Call(err)
			}
			taken = append(taken, s)
		}
	} else if taken, why, err = w.bracket(set); err != nil {
		return nil, "", err
	}
	for _, s := range taken {
		list = append(list, walk.Choice{Standard: s})
	}
	if w.Check != "" {
		s, err := standards.Find(w.Check, set)
		if err != nil {
			return nil, "", remedy.Call(err)
		}
		list = append(list, walk.Choice{Standard: s, Check: true})
	}
	if err := distinct(list); err != nil {
		return nil, "", err
	}
	err = errors.Join(
		labelled(list, set, "--lot", w.Lots, func(ch *walk.Choice, text string) { ch.Lot = text }),
		labelled(list, set, "--expiry", w.Expiries, func(ch *walk.Choice, text string) { ch.Expiry = text }))
	if err != nil {
		return nil, "", remedy.Call(err, "name a standard that is used, as in 7.00=A12")
	}
	return list, why, nil
}

// labelled puts what was said of bottles to their standards.
func labelled(list []walk.Choice, set standards.Set, flag string, said map[string]string, put func(*walk.Choice, string)) error {
	for _, name := range slices.Sorted(maps.Keys(said)) {
		s, err := standards.Find(name, set)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(list, func(ch walk.Choice) bool { return ch.Standard.Set == s.Set && ch.Standard.Name == s.Name })
		if i < 0 {
			return fmt.Errorf("%s: standard %s is not one of those used", flag, s)
		}
		put(&list[i], said[name])
	}
	return nil
}

func distinct(list []walk.Choice) error {
	seen, n := map[string]bool{}, 0
	for _, ch := range list {
		name := ch.Standard.String()
		if seen[name] {
			return remedy.Call(fmt.Errorf("standard %s is named twice", name), "each standard is read once; see halfdrop calibrate --help")
		}
		seen[name] = true
		if !ch.Check {
			n++
		}
	}
	if n < 2 || n > 5 {
		return remedy.Call(errors.New("use two or three standards, five at most"), "one standard alone says nothing about the slope")
	}
	return nil
}

// bracket are the standards on both sides of the aim, the one next to pH 7
// first; all three usual ones when no aim is known.
func (w *Wanted) bracket(set standards.Set) ([]standards.Standard, string, error) {
	aim, what := w.Target, "the target"
	if w.Plan != nil && math.IsNaN(aim) {
		var err error
		if aim, err = aimOf(*w.Plan); err != nil {
			return nil, "", err
		}
		what = "the aim of the plan"
	}
	if math.IsNaN(aim) {
		aim, what = 7, ""
	}
	list, err := standards.Bracketing(set, aim)
	if err != nil && !errors.Is(err, standards.ErrNoBracket) {
		return nil, "", err
	}
	why := fmt.Sprintf("on both sides of %s, pH %.2f", what, aim)
	if what == "" {
		why = "no aim is known, so the usual three"
	} else if err != nil {
		why = fmt.Sprintf("the nearest to %s, pH %.2f, which lies outside of them", what, aim)
	}
	from7 := func(s standards.Standard) float64 { return math.Abs(s.Nominal - 7) }
	first := slices.MinFunc(list, func(a, b standards.Standard) int { return cmp.Compare(from7(a), from7(b)) })
	rest := slices.DeleteFunc(slices.Clone(list), func(s standards.Standard) bool { return s.Name == first.Name && s.Set == first.Set })
	return append([]standards.Standard{first}, rest...), why, nil
}

// Tolerance is that of the plan, 0 for none: for a tight one the standards are looked
// at longer.
func (w *Wanted) Tolerance() float64 {
	switch {
	case w.Plan == nil:
		return 0
	case w.Plan.Target.Tolerance == nil:
		return recipe.DefaultTolerance
	}
	return *w.Plan.Target.Tolerance
}

// aimOf is what the meter is to show at the bench for the target of a plan.
func aimOf(p recipe.Plan) (float64, error) {
	setup, err := recipe.Compile(p)
	if err != nil {
		return 0, err
	}
	b, err := setup.Bench(setup.BenchTemp)
	if err != nil {
		return 0, err
	}
	return b.Forecast().Aim, nil
}

// Introduce says what is going to happen, and the cautions that belong here.
func Introduce(w io.Writer, list []walk.Choice, why string) {
	names := make([]string, len(list))
	for i, ch := range list {
		names[i] = ch.Standard.String()
		if ch.Check {
			names[i] += " as a check"
		}
	}
	say := func(s string) { fmt.Fprintln(w, "halfdrop: "+s) }
	if why != "" {
		why = " (" + why + ")"
	}
	say("standards: " + strings.Join(names, ", ") + why)
	say("pour fresh portions, at bench temperature; never return a used portion to the bottle")
	say("goggles on; read the safety data sheet of each bottle, and follow local rules for leftovers")
	say("the bulb is thin glass: do not wipe it, and keep it clear of the stir bar")
}
