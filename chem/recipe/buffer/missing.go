package buffer

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem/table"
)

// Missing are sentences on the usual buffers that a ranking leaves out because a
// salt would come out beside them, one for each salt: who looks for HEPES beside
// copper is told why it is not there.
func Missing(d Demand, list []Candidate) (out []string) {
	if len(d.With) == 0 || d.Buffer != "" {
		return nil
	}
	acid, base, err := d.Strong()
	if err != nil {
		return nil
	}
	names := map[string][]string{}
	for _, s := range table.Systems() {
		usual := table.KindOf(s.Name) == table.Buffer && table.HabitOf(s.Name).Standing == table.Usual
		if !usual || slices.ContainsFunc(list, func(c Candidate) bool { return c.System.Name == s.Name }) {
			continue
		}
		_, err := d.Candidates(s, acid, base)
		var solid *table.PrecipitateError
		if errors.As(err, &solid) {
			salt := fmt.Sprintf("%s, %s", solid.Solid.Name, solid.Solid.Formula)
			names[salt] = append(names[salt], s.Name)
		}
	}
	for salt, who := range names {
		slices.Sort(who)
		out = append(out, fmt.Sprintf("Not listed, since beside it %s, precipitates: %s.", salt, strings.Join(who, ", ")))
	}
	slices.Sort(out)
	return out
}
