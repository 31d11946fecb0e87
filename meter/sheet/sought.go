package sheet

import (
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
)

// Sought are what a plan looks for.
func Sought(s *recipe.Setup) string {
	switch s.What {
	case find.Strength:
		return "strength of " + s.Stocks[0].Name + ", against " + s.Weighed[0].Reagent.FullName()
	case find.Blank:
		return "the blank: what water and reagents take up of " + s.Stocks[0].Name
	case find.Constant:
		return "pK and amount of the " + s.Weighed[0].Reagent.Name
	}
	name := s.Plan.Find.Of
	if name == "" {
		name = s.Weighed[0].Reagent.Name
	}
	return "amount of " + name + ", with " + s.Stocks[0].Name
}
