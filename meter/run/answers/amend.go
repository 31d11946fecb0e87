package answers

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/spot"
)

// Errors of amendments that do not fit the run.
var (
	ErrNotAmended = errors.New("there is no such amendment")
	ErrForgotten  = errors.New("what the electrode had shown has been discarded and cannot be brought back")
)

// Amend is with what turned out to be otherwise than planned, or without it.
func (b Book) Amend(a journal.Amendment) (Book, error) {
	if !a.Back {
		b.amends = append(slices.Clip(b.amends), a)
		return b, nil
	}
	i := slices.IndexFunc(b.amends, func(x journal.Amendment) bool { return x.Code == a.Code })
	if i < 0 {
		return b, fmt.Errorf("%w: %s", ErrNotAmended, a.Code)
	}
	if Forgets(a.Code) {
		return b, ErrForgotten
	}
	b.amends = slices.Delete(slices.Clone(b.amends), i, i+1)
	return b, nil
}

// Amended are the amendments in force. They must not be changed.
func (b Book) Amended() []journal.Amendment { return b.amends }

// Asked is without the looks for what an amendment has made another question.
func (b Book) Asked(a journal.Amendment) Book {
	b.looks = slices.DeleteFunc(slices.Clone(b.looks), func(l look) bool { return l.stale(&a) })
	return b
}

// stale reports whether a look was for what an amendment has made another question.
func (l look) stale(a *journal.Amendment) bool {
	head, _, _ := strings.Cut(l.code, ":")
	switch head {
	case Missed, Unlogged, FromBottle, "electrode":
		return false
	case "stock", "kind":
		return len(a.Titrant) > 0
	}
	return len(a.Weighed) > 0
}

// Plan is a plan with the amendments in force, compiled, for the bottles of a setup.
func (b Book) Plan(planned recipe.Plan, was *recipe.Setup) (*recipe.Setup, error) {
	var list []recipe.Amendment
	for _, a := range b.amends {
		x := recipe.Amendment{FinalML: a.FinalML}
		if len(a.Weighed) > 0 {
			if err := json.Unmarshal(a.Weighed, &x.Weighed); err != nil {
				return nil, fmt.Errorf("amend: %w", err)
			}
		}
		if len(a.Titrant) > 0 {
			x.Titrant = new(recipe.Titrant)
			if err := json.Unmarshal(a.Titrant, x.Titrant); err != nil {
				return nil, fmt.Errorf("amend: %w", err)
			}
		}
		list = append(list, x)
	}
	p := planned.Amended(list...)
	var gate intake.Faults
	if err := intake.Plan(p); errors.As(err, &gate) {
		return nil, fmt.Errorf("amend: %s", gate[0].What)
	}
	setup, err := recipe.CompileAmended(p)
	if err != nil {
		return nil, fmt.Errorf("amend: %w", err)
	}
	if len(setup.Stocks) != len(was.Stocks) {
		return nil, errors.New("amend: a different number of bottles")
	}
	for i, st := range setup.Stocks {
		if st.Name != was.Stocks[i].Name {
			return nil, errors.New("amend: a bottle changes its name")
		}
	}
	return setup, nil
}

// Misread reports whether a code is about readings that were none of the beaker as
// planned, and not about the plan: what was wrong has been put right.
func Misread(code string) bool {
	return code == "electrode" || code == recipe.Absent || strings.HasPrefix(code, "spot:") && code != WrongTitrant
}

// Forgets reports whether what had been read before is of no use once a code is found
// to be true: the electrode did not follow the beaker, or its scale was another, or it was
// another beaker.
func Forgets(code string) bool {
	switch spot.Fault(strings.TrimPrefix(code, "spot:")) {
	case recipe.Absent, "electrode", spot.Cap, spot.Cracked, spot.Lead, spot.Swapped:
		return true
	}
	return false
}

// AmendsStock reports whether what a bottle holds was amended: what earlier runs have
// shown of it was of another content.
func (b Book) AmendsStock(name string) bool {
	for _, a := range b.amends {
		var t recipe.Titrant
		if len(a.Titrant) > 0 && json.Unmarshal(a.Titrant, &t) == nil && t.Name == name {
			return true
		}
	}
	return false
}

// Unamending is the event that withdraws the amendment of a code, the latest for an
// empty one.
func (b Book) Unamending(t float64, code string) (e journal.Event, says string, err error) {
	for i := len(b.amends) - 1; i >= 0; i-- {
		a := b.amends[i]
		if code != "" && a.Code != code {
			continue
		}
		if Forgets(a.Code) {
			return e, "", ErrForgotten
		}
		return Event(t, journal.Amendment{Code: a.Code, Name: a.Name, Back: true}), "withdrawn: " + a.Name + "; the plan is as it was before", nil
	}
	return e, "", ErrNotAmended
}

// Event is the event of an amendment at a time of the run, s.
func Event(t float64, a journal.Amendment) journal.Event {
	return journal.Event{T: t, Kind: journal.Amended, Amend: &a}
}
