package main

import (
	"strings"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/remedy"
	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/require"
)

func encodePlan(t *testing.T, p recipe.Plan) []byte {
	t.Helper()
	b, err := toml.Marshal(p)
	require.NoError(t, err)
	return b
}

// builtIn is the plan of titrate --sim.
func builtIn(t *testing.T) recipe.Plan {
	t.Helper()
	p, err := decodePlan("built-in plan", demoPlan)
	require.NoError(t, err)
	return p
}

func TestPlanErrorsSayWhere(t *testing.T) {
	for name, c := range map[string]struct{ plan, want, hint string }{
		"unknown key":  {"[target]\nph = 7\ntollerance = 0.02\n", `p.toml:3:1: unknown key "target.tollerance"`, `did you mean "tolerance"`},
		"wrong type":   {"[target]\nph = \"seven\"\n", "p.toml:2:6", "TOML"},
		"not TOML":     {"ph 7\n", "p.toml:1:", "TOML"},
		"other table":  {"[taget]\nph = 7\n", `unknown key "taget"`, `did you mean "target"`},
		"with a BOM":   {"\xef\xbb\xbfname = \"x\"\n[target]\nphh = 7\n", "p.toml:3:1", `"ph"`},
		"in a titrant": {"[[titrant]]\nname = \"a\"\nreagnt = \"HCl\"\n", `p.toml:3:1: unknown key "titrant.reagnt"`, `did you mean "reagent"`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := decodePlan("p.toml", []byte(c.plan))
			require.ErrorContains(t, err, c.want)
			var e *remedy.Error
			require.ErrorAs(t, err, &e)
			require.Contains(t, strings.Join(e.Hints, "\n"), c.hint)
		})
	}
}
