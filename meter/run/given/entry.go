package given

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/view"
)

// Errors of additions that do not fit the plan.
var (
	ErrNoTitrant = errors.New("no such titrant in the plan")
	ErrAmount    = errors.New("the amount must be above zero")
	ErrTooMuch   = errors.New("more than a hundred times what the vessel holds")
)

// Entry checks an addition against the plan.
func Entry(setup *recipe.Setup, a journal.Addition) (view.Entry, error) {
	j := StockOf(setup, a.Titrant)
	if j < 0 {
		return view.Entry{}, fmt.Errorf("%w: %q", ErrNoTitrant, a.Titrant)
	}
	en := view.Entry{Stock: j, Drops: a.Drops, Volume: chem.Volume(a.ML) * chem.Millilitre}
	if a.Drops > 0 {
		en.Volume = chem.Volume(a.Drops) * setup.Stocks[j].Drop
	}
	switch {
	case !(en.Volume > 0):
		return view.Entry{}, ErrAmount
	case en.Volume > 100*setup.Final:
		return view.Entry{}, ErrTooMuch
	}
	return en, nil
}

// StockOf is the number of the bottle of a name, −1 when there is none.
func StockOf(setup *recipe.Setup, name string) int {
	return slices.IndexFunc(setup.Stocks, func(st recipe.Stock) bool { return st.Name == name })
}

// A bottle that is given in mL has a step where another has a drop. The coach
// counts both; people, journal and line protocol are told mL of it.

// InItsUnit is an advice in the unit that its bottle is given in.
func InItsUnit(setup *recipe.Setup, a coach.Advice) coach.Advice {
	if a.Drops > 0 && setup.Stocks[a.Stock].ByML {
		a.Drops = 0
	}
	return a
}

// Counted is an order as the coach counts it, though it was given in mL.
func Counted(setup *recipe.Setup, a journal.Advice) journal.Advice {
	if j := StockOf(setup, a.Titrant); a.Drops == 0 && j >= 0 {
		step := setup.Stocks[j].Drop
		a.Drops = math.Round(2*float64(chem.Volume(a.ML)*chem.Millilitre/step)) / 2
	}
	return a
}
