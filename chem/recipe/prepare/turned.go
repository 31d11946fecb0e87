package prepare

import (
	"errors"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
)

// turned is a draft from another form of the buffer, where the titrant for the
// best one does not fit under the mark: 3 M acetate of pH 5.2 is brought down
// from sodium acetate, for which a quarter as much acid is needed as acetic acid needs base.
// Of several it is the one with the least titrant; the first error stands where
// none fits. What a person has said to be there is not exchanged.
func turned(d buffer.Demand, c buffer.Candidate, first error) (*Draft, error) {
	if len(d.Have) > 0 || d.Way != buffer.ByTitrant || !overflows(first) {
		return nil, first
	}
	acid, base, err := d.Strong()
	if err != nil {
		return nil, first
	}
	forms, err := d.FormsFor(c.System)
	if err != nil {
		return nil, first
	}
	var best *Draft
	for _, f := range forms {
		if slices.Equal(f.Parts, c.From.Parts) || !f.Usual() {
			continue
		}
		x := d
		x.Have = []string{f.FullName()}
		list, err := x.Candidates(c.System, acid, base)
		if err != nil || len(list) == 0 {
			continue
		}
		if out, err := draftFor(x, list[0]); err == nil && (best == nil || out.Amount < best.Amount) {
			best = out
		}
	}
	if best == nil {
		return nil, first
	}
	return best, nil
}

func overflows(err error) bool {
	var bad recipe.Problems
	return errors.As(err, &bad) && slices.ContainsFunc(bad, func(p recipe.Problem) bool { return strings.Contains(p.What, "under the mark") })
}
