package recipe

import "strings"

// Problem is one thing wrong with a plan: where, what, and what would help.
type Problem struct {
	Field string // as in the plan file: "beaker.final_ml", "titrant[2].molar"
	What  string
	Hint  string
}

// Problems are all faults found in a plan, in the order of the file.
type Problems []Problem

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

// Hints are the hints of all faults, without repeats.
func (p Problems) Hints() []string {
	var out []string
	seen := map[string]bool{}
	for _, q := range p {
		if q.Hint != "" && !seen[q.Hint] {
			seen[q.Hint] = true
			out = append(out, q.Hint)
		}
	}
	return out
}

func (p *Problems) add(field, what, hint string) { *p = append(*p, Problem{field, what, hint}) }
