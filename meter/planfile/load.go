package planfile

import (
	_ "embed"
	"errors"
	"fmt"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
)

// Load reads a plan file and checks that it can be carried out. Errors name file, line and column,
// and the nearest key that exists.
func Load(path string) (recipe.Plan, error) {
	data, err := readText(path)
	if err != nil {
		return recipe.Plan{}, err
	}
	p, err := Decode(path, data)
	if err != nil {
		return p, err
	}
	return p, checkAt(path, p, placesOf(data))
}

// Check turns the problems of a plan into errors with hints.
func Check(name string, p recipe.Plan) error { return checkAt(name, p, nil) }

// checkAt is Check with the places of the keys, where they are known.
func checkAt(name string, p recipe.Plan, places map[string]intake.Place) error {
	_, err := recipe.Compile(p)
	return faults(name, err, places)
}

// Advisable refuses a plan on which nothing is to be advised.
func Advisable(name string, p recipe.Plan) error {
	s, err := recipe.Compile(p)
	if err == nil {
		err = s.Advisable()
	}
	if err == nil {
		return nil
	}
	if b, fail := s.Bench(s.BenchTemp); fail == nil {
		return faults(name, err, nil, "or leave the plan out, and the coach learns the curve from the readings: "+WithoutIt(b.Forecast().Aim, s.Start, s.Bottles()))
	}
	return faults(name, err, nil)
}

// WithoutIt is how the coach is asked about a beaker without its plan: by the pH that the
// meter is to show, what is in the beaker and the labels of the bottles.
func WithoutIt(aim float64, start chem.Volume, bottles []string) string {
	s := fmt.Sprintf("halfdrop titrate --port NAME --ph %.2f --ml %s", aim, chem.Digits(start.Millilitres(), 3))
	for _, b := range bottles {
		s += fmt.Sprintf(" --titrant %q", b)
	}
	return s
}

// faults are the problems of a plan as errors with hints, with their places
// where these are known.
func faults(name string, err error, places map[string]intake.Place, hints ...string) error {
	var bad recipe.Problems
	if errors.As(err, &bad) {
		var lines []error
		for _, b := range bad {
			where := name
			if places != nil {
				at := intake.Nearest(places, b.Field)
				where = fmt.Sprintf("%s:%d:%d", name, at.Line, at.Column)
			}
			if b.Field != "" {
				where += ": " + b.Field
			}
			lines = append(lines, fmt.Errorf("%s: %s", where, b.What))
		}
		return remedy.Call(errors.Join(lines...), append(bad.Hints(), hints...)...)
	}
	return err
}

// LoadFind is Load for a plan that determines an amount; any other is refused.
func LoadFind(path string) (recipe.Plan, error) {
	p, err := Load(path)
	if err == nil && p.Find == nil {
		err = remedy.With(fmt.Errorf("%s: the plan has no [find] table", path), "halfdrop find example writes a plan that has one")
	}
	return p, err
}

// Demo is the built-in plan, in which a buffer is brought to a pH.
//
//go:embed demo.toml
var Demo []byte

// FindDemo is the built-in plan of a determination: a base against potassium
// hydrogen phthalate.
//
//go:embed find.toml
var FindDemo []byte
