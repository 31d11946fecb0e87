package live

import (
	"errors"
	"fmt"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run"
)

// bareRoom is what may be added to such a beaker, as part of what is in it: no mark
// is known that would be the limit.
const bareRoom = 0.25

// Asked reports whether the beaker is on the command line.
func (b *Bare) Asked() bool { return b.PH != 0 || b.ML != 0 || len(b.Titrants) > 0 }

func (b *Bare) check(t *Asked) error {
	const as = `as in --ph 7.4 --ml 250 --titrant "NaOH 1 M" --titrant "HCl 0.1 M"`
	switch {
	case t.Plan != "":
		return remedy.Call(errors.New("--plan and --ph, --ml, --titrant exclude each other"), "a plan may leave [[weighed]] out")
	case t.Sim:
		return remedy.Call(errors.New("the simulated bench needs to know what is in its beaker"), "leave --ph, --ml and --titrant out")
	case !(b.ML > 0):
		return remedy.Call(errors.New("--ml is missing: how much is in the beaker"), as)
	case b.PH == 0:
		return remedy.Call(errors.New("--ph is missing: the pH wanted"), as)
	case len(b.Titrants) == 0:
		return remedy.Call(errors.New("--titrant is missing: a bottle that is available"), as)
	}
	return nil
}

// plan is that of the beaker.
func (b *Bare) plan() (recipe.Plan, error) {
	final := b.ML * (1 + bareRoom)
	p := recipe.Plan{Name: fmt.Sprintf("pH %g, composition not known", b.PH),
		Target: recipe.Target{PH: &b.PH, Tolerance: &b.Tolerance}, Beaker: recipe.Beaker{StartML: &b.ML, FinalML: &final, TempC: &b.TempC}}
	for _, text := range b.Titrants {
		t, err := run.ParseBottle(text)
		if err != nil {
			return p, remedy.Call(fmt.Errorf("--titrant %q: %w", text, err))
		}
		p.Titrants = append(p.Titrants, t)
	}
	if err := intake.Plan(p); err != nil {
		return p, remedy.Call(err)
	}
	return p, nil
}
