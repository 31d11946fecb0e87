package written

import (
	"errors"
	"fmt"
	"math"
	"regexp"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
)

// broughtTo is the reagent that a salt beside a pH is made of, and what brings it
// there. A salt stays one where the recipe goes the other way: sodium acetate
// that acetic acid brings to its pH, or citrate above its last pK, of which nobody
// weighs the acid.
func (r *Reading) broughtTo(name string) (reagent, titrant string, ok bool) {
	reagent, titrant, ok = table.Brought(name)
	if !ok {
		return "", "", false
	}
	last := lastPK(reagent)
	if isReagent(name) && r.PH > last+farAPH { // potassium acetate beside HEPES of pH 7.6 is a salt
		return "", "", false
	}
	t, err := table.ByAmount(titrant)
	if err != nil || !t.Alkaline() || saysBase.MatchString(name) {
		return reagent, titrant, true
	}
	with, err := table.ByAmount(r.Titrant)
	other := r.Titrant != "" && err == nil && !with.Alkaline()
	if last > 9 || !other && !(r.Titrant == "" && r.PH > last+halfAPH) {
		return reagent, titrant, true
	}
	salt, ok := saltOf(reagent, t)
	if !ok {
		return reagent, titrant, true
	}
	if other {
		return salt, r.Titrant, true
	}
	return salt, "HCl", true
}

// withoutItsPH is the question that a name asks which is brought to a pH where none is said:
// "50 mM HEPES-KOH", and "Tris-acetate 40 mM", which as a salt would be half acid. Tris-HCl
// is said to be the salt.
func (r *Reading) withoutItsPH(name string, got map[kind]float64) error {
	reagent, titrant, ok := table.Brought(name)
	if !ok || !math.IsNaN(r.PH) || weighs(got) {
		return nil
	}
	base, err := table.ByAmount(reagent)
	with, errWith := table.ByAmount(titrant)
	if err != nil || errWith != nil {
		return nil
	}
	salt := isReagent(name)
	amine := !with.Alkaline() && len(base.Parts) == 1 && base.Parts[0].System != nil && base.Parts[0].System.Charge > 0
	weak := len(with.Parts) == 1 && with.Parts[0].System != nil
	_, unknown := table.ByAmount(name)
	var several *table.AmbiguousError // says which
	switch {
	case salt && !amine, !salt && errors.As(unknown, &several):
		return nil
	case salt && !weak:
		r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as the salt, %s and its acid one to one: no pH is said", name, reagent))
		return nil
	}
	return &recipe.FieldError{What: fmt.Sprintf("%q is as a rule %s brought to a pH with %s, and no pH is said", name, reagent, titrant),
		Hint: fmt.Sprintf("name what goes in, the salt or as in %q; or say the pH of the whole", fmt.Sprintf("%s 40 mM; %s 20 mM", reagent, titrant))}
}

// saysBase is a name that says which base it is brought there with: "CHES-NaOH".
var saysBase = regexp.MustCompile(`OH\b`)

// halfAPH is how far above the last pK of an acid its salt is what people weigh,
// unless they say otherwise.
const halfAPH = 0.5

// farAPH is how far above it nothing brings the salt there: it buffers no more.
const farAPH = 2

// lastPK is that of the system of a reagent; infinite where it has none.
func lastPK(reagent string) float64 {
	x, err := table.ByAmount(reagent)
	if err != nil {
		return math.Inf(1)
	}
	s, _, ok := x.Supplies()
	if !ok || len(s.Steps) == 0 {
		return math.Inf(1)
	}
	return s.Steps[len(s.Steps)-1].PK
}

// saltOf is the salt of a carboxylic acid with the metal ion of a base, without
// any proton to give.
func saltOf(acid string, base table.Reagent) (string, bool) {
	x, err := table.ByAmount(acid)
	if err != nil {
		return "", false
	}
	s, _, ok := x.Supplies()
	if !ok || len(base.Parts) != 1 || base.Parts[0].System != nil {
		return "", false
	}
	for _, r := range table.Reagents() {
		sys, units, ok := r.Supplies()
		if !ok || sys.Name != s.Name || units != 1 {
			continue
		}
		ions, others := 0, 0
		for _, p := range r.Parts {
			switch {
			case p.System == nil && p.Ion == base.Parts[0].Ion:
				ions += p.Count
			case p.System == nil:
				others++
			}
		}
		if others == 0 && ions == len(s.Steps)-s.Charge {
			return r.Name, true
		}
	}
	return "", false
}
