package live

import (
	"errors"
	"fmt"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run/typed"
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
		return remedy.Call(errors.New("the simulated bench needs to know what is in its beaker"), "leave --ph, --ml and --titrant out; halfdrop practice nameless-beaker is a simulated beaker of unknown composition")
	case b.ML < 0:
		return remedy.Call(fmt.Errorf("--ml %g: it must be above zero", b.ML), as)
	case !(b.ML > 0):
		return remedy.Call(errors.New("--ml is missing: how much is in the beaker"), as)
	case b.PH == 0:
		return remedy.Call(errors.New("--ph is missing: the pH wanted"), as)
	case len(b.Titrants) == 0:
		return remedy.Call(errors.New("--titrant is missing: a bottle that is available"), as)
	}
	return nil
}

// asFlags are the names of a plan as those of the flags that they come from; what is
// told twice of one flag is told once.
var asFlags = strings.NewReplacer("the command line: target.ph:", "--ph:", "the command line: target.tolerance:", "--tolerance:", "the command line: target.use_temp_c:", "--temp:",
	"the command line: beaker.temp_c:", "--temp:", "the command line: beaker.start_ml:", "--ml:", "the command line: beaker.final_ml:", "--ml, with what is added:")

// inFlags is what is wrong with the plan of the beaker, in the words of the command line.
func (b *Bare) inFlags(err error) error {
	var bad *remedy.Error
	if !errors.As(err, &bad) {
		return err
	}
	var told []error
	seen := map[string]bool{}
	for line := range strings.SplitSeq(phrase.Plain(bad.Err).Error(), "\n") {
		line = asFlags.Replace(line)
		for i, text := range b.Titrants {
			for _, key := range []string{"reagent", "drop_ul", "molar", "name"} {
				line = strings.Replace(line, fmt.Sprintf("the command line: titrant[%d].%s:", i+1, key), fmt.Sprintf("--titrant %q:", text), 1)
			}
		}
		if !seen[line] {
			seen[line], told = true, append(told, errors.New(line))
		}
	}
	return &remedy.Error{Kind: bad.Kind, Err: errors.Join(told...), Hints: bad.Hints}
}

// plan is that of the beaker.
func (b *Bare) plan() (recipe.Plan, error) {
	final := b.ML * (1 + bareRoom)
	p := recipe.Plan{Name: fmt.Sprintf("pH %g, composition not known", b.PH),
		Target: recipe.Target{PH: &b.PH, Tolerance: &b.Tolerance}, Beaker: recipe.Beaker{StartML: &b.ML, FinalML: &final, TempC: &b.TempC}}
	for _, text := range b.Titrants {
		t, err := typed.Bottle(text)
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
