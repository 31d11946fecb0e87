package recipe

import (
	"errors"
	"strings"

	"example.org/halfdrop/chem/table"
)

// Problem is one thing wrong with a plan: where, what, and what would help.
type Problem struct {
	Field string // as in the plan file: "beaker.final_ml", "titrant[2].molar"
	What  string
	Hint  string
}

// Problems are all faults found in a plan, in the order of the file.
type Problems []Problem

// Wrong is a single fault.
func Wrong(field, what, hint string) Problems { return Problems{{field, what, hint}} }

// Error lists the faults, one a line.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, q := range p {
		lines[i] = q.What
		if q.Field != "" {
			lines[i] = q.Field + ": " + q.What
		}
	}
	return strings.Join(lines, "\n")
}

// Hints are the hints of all faults, without repeats and without what a fault says itself.
func (p Problems) Hints() []string {
	var out []string
	seen := map[string]bool{}
	for _, q := range p {
		if q.Hint != "" && !seen[q.Hint] && !strings.Contains(q.What, q.Hint) { // an unknown name brings those that come near itself
			seen[q.Hint] = true
			out = append(out, q.Hint)
		}
	}
	return out
}

func (p *Problems) Add(field, what, hint string) { *p = append(*p, Problem{field, what, hint}) }

// message is an error without the name of its package.
func Message(err error) string { return strings.TrimPrefix(err.Error(), "table: ") }

// fieldError is an error of one key of a table of the plan.
type FieldError struct{ Key, What, Hint string }

func (e *FieldError) Error() string { return e.What }

// hint is what would help against an error of a key or of a name.
func Hint(err error) string {
	var f *FieldError
	var unknown *table.UnknownError
	var ambiguous *table.AmbiguousError
	switch {
	case errors.As(err, &f):
		return f.Hint
	case errors.As(err, &unknown) && len(unknown.Nearest) > 0:
		return "did you mean " + strings.Join(unknown.Nearest, ", ") + "?"
	case errors.As(err, &unknown):
		return "what is neither acid, base nor ion, or too little to matter, may be left out"
	case errors.As(err, &ambiguous) && ambiguous.Instead != "":
		return "give " + ambiguous.Instead + " (" + strings.Join(ambiguous.Candidates, ", ") + ")"
	case errors.As(err, &ambiguous):
		return ambiguous.Ask()
	}
	return ""
}
