package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/planfile"
)

// choices are the standards to read, and why these.
func (c *calibration) choices() (list []calib.Choice, why string, err error) {
	set := calib.Set(c.set)
	if len(calib.Standards(set)) == 0 {
		return nil, "", usageError(fmt.Errorf("--set %s is no set of standards", c.set), "take technical, primary, technical-20 or technical-7.01")
	}
	if c.planPath != "" {
		p, err := planfile.Load(c.planPath)
		if err != nil {
			return nil, "", err
		}
		c.planned = &p
	}
	var standards []calib.Standard
	if len(c.standards) > 0 {
		for _, name := range c.standards {
			s, err := calib.Find(name, set)
			if err != nil {
				return nil, "", usageError(err)
			}
			standards = append(standards, s)
		}
	} else if standards, why, err = c.bracket(set); err != nil {
		return nil, "", err
	}
	for _, s := range standards {
		list = append(list, calib.Choice{Standard: s})
	}
	if c.check != "" {
		s, err := calib.Find(c.check, set)
		if err != nil {
			return nil, "", usageError(err)
		}
		list = append(list, calib.Choice{Standard: s, Check: true})
	}
	if err := distinct(list); err != nil {
		return nil, "", err
	}
	err = errors.Join(
		labelled(list, set, "--lot", c.lots, func(ch *calib.Choice, text string) { ch.Lot = text }),
		labelled(list, set, "--expiry", c.expiries, func(ch *calib.Choice, text string) { ch.Expiry = text }))
	if err != nil {
		return nil, "", usageError(err, "name a standard that is read, as in 7.00=A12")
	}
	return list, why, nil
}

// labelled puts what was said of bottles to their standards.
func labelled(list []calib.Choice, set calib.Set, flag string, said map[string]string, put func(*calib.Choice, string)) error {
	for name, text := range said {
		s, err := calib.Find(name, set)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(list, func(ch calib.Choice) bool { return ch.Standard.Set == s.Set && ch.Standard.Name == s.Name })
		if i < 0 {
			return fmt.Errorf("%s: standard %s is not among those that are read", flag, s)
		}
		put(&list[i], text)
	}
	return nil
}

func distinct(list []calib.Choice) error {
	seen, n := map[string]bool{}, 0
	for _, ch := range list {
		name := ch.Standard.String()
		if seen[name] {
			return usageError(fmt.Errorf("standard %s is named twice", name))
		}
		seen[name] = true
		if !ch.Check {
			n++
		}
	}
	if n < 2 || n > 5 {
		return usageError(errors.New("two or three standards are wanted, five at most"), "one standard alone says nothing about the slope")
	}
	return nil
}

// bracket are the standards on both sides of the aim, the one next to pH 7
// first; all three usual ones when no aim is known.
func (c *calibration) bracket(set calib.Set) ([]calib.Standard, string, error) {
	aim, what := c.target, "the target"
	if c.planned != nil && math.IsNaN(aim) {
		var err error
		if aim, err = aimOf(*c.planned); err != nil {
			return nil, "", err
		}
		what = "the aim of the plan"
	}
	if math.IsNaN(aim) {
		aim, what = 7, ""
	}
	list, err := calib.Bracketing(set, aim)
	if err != nil && !errors.Is(err, calib.ErrNoBracket) {
		return nil, "", err
	}
	why := fmt.Sprintf("on both sides of %s, pH %.2f", what, aim)
	if what == "" {
		why = "no aim is known, so the usual three"
	} else if err != nil {
		why = fmt.Sprintf("the nearest to %s, pH %.2f, which lies outside of them", what, aim)
	}
	first := 0
	for i, s := range list {
		if math.Abs(s.Nominal-7) < math.Abs(list[first].Nominal-7) {
			first = i
		}
	}
	out := []calib.Standard{list[first]}
	for i, s := range list {
		if i != first {
			out = append(out, s)
		}
	}
	return out, why, nil
}

// tolerance is that of the plan, 0 for none: for a tight one the standards are looked
// at longer.
func (c *calibration) tolerance() float64 {
	switch {
	case c.planned == nil:
		return 0
	case c.planned.Target.Tolerance == nil:
		return recipe.DefaultTolerance
	}
	return *c.planned.Target.Tolerance
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

// introduce says what is going to happen, and the cautions that belong here.
func introduce(w io.Writer, list []calib.Choice, why string) {
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
	say("pour fresh portions, at the temperature of the bench; a used portion never goes back into the bottle")
	say("goggles on; read the safety data sheet of each bottle, and follow local rules for what is left over")
	say("the bulb is thin glass: no wiping, and clear of the stirring bar")
}
