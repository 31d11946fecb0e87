package buffer

import (
	"fmt"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
)

// Pick is the best candidate, or a problem when each of them has a property
// that was to be avoided.
func Pick(d Demand, list []Candidate) (Candidate, error) {
	if words, all := conflicts(list); all && d.Buffer == "" && !d.Anyway {
		return Candidate{}, recipe.Wrong("avoid", fmt.Sprintf("every buffer near pH %g has a property to be avoided; the best, %s", d.PH, words), d.without())
	}
	return list[0], nil
}

// without says which of the demands, left out, would leave a buffer.
func (d Demand) without() string {
	var out []string
	for i, p := range d.Avoid {
		x := d
		x.Avoid = append(append([]table.Property(nil), d.Avoid[:i]...), d.Avoid[i+1:]...)
		list, err := Rank(x)
		if _, all := conflicts(list); err == nil && !all {
			for _, c := range list {
				if !c.hasFull() && table.HabitOf(c.System.Name).Standing != table.Odd {
					out = append(out, fmt.Sprintf("without %q %s would do", p, c.System.Name))
					break
				}
			}
		}
	}
	if out == nil {
		return "avoid fewer properties, or allow pKa′ beyond ±1"
	}
	return "possible: " + strings.Join(out, "; ") + "; or allow pKa′ beyond ±1"
}
