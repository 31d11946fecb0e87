package main

import (
	"errors"
	"fmt"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/run"
	"github.com/spf13/cobra"
)

// bareBeaker is a beaker that nobody weighed, as the command line gives it.
type bareBeaker struct {
	ph, ml, tolerance, temp float64
	titrants                []string
}

// bareRoom is what may be added to such a beaker, as part of what is in it: no mark
// is known that would be the limit.
const bareRoom = 0.25

func (b *bareBeaker) add(c *cobra.Command) {
	f := c.Flags()
	f.Float64Var(&b.ph, "ph", 0, "without a plan: the `pH` wanted in the beaker")
	f.Float64Var(&b.ml, "ml", 0, "without a plan: `mL` in the beaker now")
	f.StringArrayVar(&b.titrants, "titrant", nil, "without a plan: a `bottle` available, as in \"NaOH 1 M\" or \"KOH 0.5 M, 40 µL\"; once for each")
	f.Float64Var(&b.tolerance, "tolerance", recipe.DefaultTolerance, "without a plan: tolerance ± in pH")
	f.Float64Var(&b.temp, "temp", recipe.DefaultTempC, "without a plan: °C of the beaker, when the meter does not send it")
}

// asked reports whether the beaker is on the command line.
func (b *bareBeaker) asked() bool { return b.ph != 0 || b.ml != 0 || len(b.titrants) > 0 }

func (b *bareBeaker) check(t *titration) error {
	const as = `as in --ph 7.4 --ml 250 --titrant "NaOH 1 M" --titrant "HCl 0.1 M"`
	switch {
	case t.planPath != "":
		return usageError(errors.New("--plan and --ph, --ml, --titrant exclude each other"), "a plan may leave [[weighed]] out")
	case t.sim:
		return usageError(errors.New("the simulated bench needs to know what is in its beaker"), "leave --ph, --ml and --titrant out")
	case !(b.ml > 0):
		return usageError(errors.New("--ml is missing: how much is in the beaker"), as)
	case b.ph == 0:
		return usageError(errors.New("--ph is missing: the pH wanted"), as)
	case len(b.titrants) == 0:
		return usageError(errors.New("--titrant is missing: a bottle that is available"), as)
	}
	return nil
}

// plan is that of the beaker.
func (b *bareBeaker) plan() (recipe.Plan, error) {
	final := b.ml * (1 + bareRoom)
	p := recipe.Plan{Name: fmt.Sprintf("pH %g, composition not known", b.ph),
		Target: recipe.Target{PH: &b.ph, Tolerance: &b.tolerance}, Beaker: recipe.Beaker{StartML: &b.ml, FinalML: &final, TempC: &b.temp}}
	for _, text := range b.titrants {
		t, err := run.ParseBottle(text)
		if err != nil {
			return p, usageError(fmt.Errorf("--titrant %q: %w", text, err))
		}
		p.Titrants = append(p.Titrants, t)
	}
	if err := intake.Plan(p); err != nil {
		return p, usageError(err)
	}
	return p, nil
}
