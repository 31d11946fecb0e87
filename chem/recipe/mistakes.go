package recipe

import (
	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// alternative is what may be in the beaker instead of what was planned.
type alternative struct {
	name, code string
	content    chem.Solution
	prior      float64
}

// alternatives are the gross mistakes of weighing.
func (s *Setup) alternatives() []alternative { return nil }

// mistakes are the gross mistakes that the coach keeps an eye on.
func (s *Setup) mistakes(m *chem.Model, b *coach.Bench, alts []alternative) ([]coach.Mistake, error) {
	return nil, nil
}
