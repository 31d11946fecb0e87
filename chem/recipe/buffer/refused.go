package buffer

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
)

// fits turns a list without anything usable into a problem.
func (d *Demand) fits(all []Candidate, last error) error {
	if len(all) > 0 {
		return nil
	}
	var far *farError
	if bad := d.Problems(last); bad != nil && (d.Buffer != "" || !errors.Is(last, ErrNoPair)) {
		return bad
	}
	var bad recipe.Problems
	switch {
	case errors.As(last, &far) && far.water && d.Buffer != "":
		bad.Add("mM", far.Error(), fmt.Sprintf("use more of it, or a strong %s and no buffer; or allow pKa′ beyond ±1", far.strong()))
	case errors.As(last, &far) && d.Buffer != "":
		bad.Add("ph", far.Error(), fmt.Sprintf("it buffers pH %.2f to %.2f; for %g try %s; or allow pKa′ beyond ±1", far.pk-1, far.pk+1, d.PH, d.instead()))
	case d.Buffer == "":
		bad.Add("ph", fmt.Sprintf("no buffer here has a pKa′ within ± 1 of pH %g at %g °C and holds it better, at %s mM, than free acid or base does", d.PH, float64(d.Use), chem.Digits(1e3*float64(d.Molar), 3)), d.nearestRange())
	case last != nil:
		bad.Add("buffer", last.Error(), "")
	}
	return bad
}

// Problems is an error that came in the way of a demand as what is wrong with its fields;
// nil where the error is none of those that a demand can mend.
func (d *Demand) Problems(err error) recipe.Problems {
	var bad recipe.Problems
	var much *table.SolubilityError
	var salt *strengthError
	var solid *table.PrecipitateError
	beside := "mM" // where what comes out was asked for: beside the buffer, where anything is
	if len(d.With) > 0 {
		beside = "with"
	}
	switch {
	case errors.As(err, &bad):
	case errors.As(err, &solid):
		bad.Add(beside, solid.Error(), "use less, or a substitute that avoids it")
	case errors.As(err, &salt):
		bad.Add("ionic", salt.Error(), "use less buffer, or leave the ionic strength unadjusted")
	case errors.As(err, &much):
		field, hint := d.tooMuch(much.Reagent)
		bad.Add(field, fmt.Sprintf("%s: %s mol per kg of water, and only about %s dissolves at %g °C", much.Reagent, chem.Digits(much.Have, 2), chem.Digits(much.Limit, 2), float64(much.Temp)),
			hint+"; the solubility is a handbook value that was not confirmed")
	case errors.Is(err, ErrNoPair):
		bad.Add("way", strings.TrimPrefix(d.Buffer+": ", ": ")+err.Error(), "use one form and a strong acid or base; or say which forms are available")
	case errors.Is(err, chem.ErrAbsurd) && d.Times > 1:
		bad.Add("strength", err.Error(), "make a weaker stock")
	case errors.Is(err, chem.ErrAbsurd):
		bad.Add(beside, err.Error(), "check the amounts and their units")
	}
	return bad
}

// tooMuch is where more of a reagent was asked for than dissolves, and what to try.
func (d *Demand) tooMuch(name string) (field, hint string) {
	field, hint = "mM", "use less, or another buffer"
	if slices.ContainsFunc(d.With, func(x Ingredient) bool { return x.Reagent.Name == name }) {
		field, hint = "with", "use less of it"
	}
	if d.Times > 1 {
		hint = "make a weaker stock"
	}
	return field, hint
}

// farError says that a buffer's nearest pKa′ is too far from the target, or that
// acid or base by itself holds that pH better than the buffer does.
type farError struct {
	name   string
	pk, ph float64
	water  bool
}

func (e *farError) Error() string {
	if e.water {
		return fmt.Sprintf("at pH %g the free %s holds the pH better than so much %s does, whose pKa′ is %.2f", e.ph, e.strong(), e.name, e.pk)
	}
	return fmt.Sprintf("%s has its nearest pKa′ at %.2f, %.2f away from pH %g: it would hardly buffer", e.name, e.pk, math.Abs(e.ph-e.pk), e.ph)
}

// strong is what makes the pH where water itself buffers.
func (e *farError) strong() string {
	if e.ph > 7 {
		return "base"
	}
	return "acid"
}

// instead names the best three buffers of any kind.
func (d Demand) instead() string {
	d.Buffer, d.Have, d.Bottles = "", nil, nil
	list, err := Rank(d)
	if err != nil || len(list) == 0 {
		return "another pH"
	}
	out := list[0].System.Name
	for _, c := range list[1:min(3, len(list))] {
		out += ", " + c.System.Name
	}
	return out
}

// nearestRange says what can be held instead of the target.
func (d Demand) nearestRange() string {
	if d.Anyway {
		return "choose a pH nearer to 7"
	}
	d.Anyway = true
	list, err := Rank(d)
	if err != nil || len(list) == 0 {
		return "choose a pH nearer to 7"
	}
	far := func(c Candidate) float64 {
		if table.HabitOf(c.System.Name).Standing == table.Odd {
			return 5 + math.Abs(c.Distance)
		}
		return math.Abs(c.Distance)
	}
	slices.SortStableFunc(list, func(a, b Candidate) int { return cmp.Compare(far(a), far(b)) })
	c := list[0]
	return fmt.Sprintf("the nearest is %s, which buffers pH %.1f to %.1f; to use it anyway, name it and allow pKa′ beyond ±1", c.System.Name, c.PK-1, c.PK+1)
}
