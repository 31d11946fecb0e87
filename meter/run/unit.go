package run

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
)

// A bottle that is given in mL has a step where another has a drop. The coach
// counts both; people, journal and line protocol are told mL of it.

// inItsUnit is an advice in the unit that its bottle is given in.
func (s *State) inItsUnit(a coach.Advice) coach.Advice {
	if a.Drops > 0 && s.Setup.Stocks[a.Stock].ByML {
		a.Drops = 0
	}
	return a
}

// counted is an order as the coach counts it, though it was given in mL.
func (s *State) counted(a journal.Advice) journal.Advice {
	if j := s.stockOf(a.Titrant); a.Drops == 0 && j >= 0 {
		step := s.Setup.Stocks[j].Drop
		a.Drops = math.Round(2*float64(chem.Volume(a.ML)*chem.Millilitre/step)) / 2
	}
	return a
}
