package written

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/table"
)

// saysWhich is a name that says what it is brought to its pH with: "Tris-HCl", "HEPES/KOH".
var saysWhich = regexp.MustCompile(`(?i)hcl|oh\b|[-/·](?:cl|acetate|phosphate|sul(?:f|ph)ate|formate|tris|k|na|li)$|^(?:na|k|li)-`)

// meaning is the reagent that a name stands for: beside a pH "Tris-HCl" is Tris.
// What is weighed is what the jar says.
func (r *Reading) meaning(name string, got map[quantity.Kind]float64, x *Part) string {
	if !math.IsNaN(r.PH) && !(weighs(got) && isReagent(name)) {
		for _, n := range []string{name, strings.TrimSuffix(name, " buffer")} {
			if reagent, titrant, ok := r.broughtTo(n, got); ok {
				if r.Titrant == "" {
					x.other = r.otherwise(n, reagent, got)
					_, said, _ := table.Brought(n)
					r.Titrant, x.titrates, r.Guessed = titrant, true, titrant != said
					r.Implied = !saysWhich.MatchString(n) && (reagent == n || strings.HasSuffix(titrant, "OH") || !strings.HasPrefix(strings.ToLower(n), strings.ToLower(reagent)))
				}
				x.brought = n
				if !strings.EqualFold(reagent, name) {
					if x.Taken = reagent + ", brought to its pH"; !r.Guessed && r.Titrant == titrant {
						x.Taken += " with " + titrant
					}
					r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as %s", name, x.Taken))
				}
				return reagent
			}
		}
	}
	name = strings.TrimSuffix(name, " buffer")
	if jar, ok := table.Taken(name); ok {
		x.Taken = jar
		r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as %s", name, jar))
	}
	return name
}

// broughtTo is the reagent that a salt beside a pH is made of, and what brings it
// there. A salt stays one where the recipe goes the other way: sodium acetate
// that acetic acid brings to its pH, or citrate above its last pK, of which nobody
// weighs the acid. So does a strong stock of a salt, "3 M sodium acetate pH 5.2": it is brought
// down with its own acid where that is poured.
func (r *Reading) broughtTo(name string, got map[quantity.Kind]float64) (reagent, titrant string, ok bool) {
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
	above := r.PH > last+halfAPH || got[quantity.OfStrength] >= strongSalt && r.PH > last+quarterAPH && namesSalt(name)
	if last > 9 || !other && !(r.Titrant == "" && above) {
		return reagent, titrant, true
	}
	salt, ok := saltOf(reagent, t)
	if !ok {
		return reagent, titrant, true
	}
	if other {
		return salt, r.Titrant, true
	}
	if namesSalt(name) {
		return salt, ownAcid(reagent), true
	}
	return salt, "HCl", true
}

// ownAcid brings a salt of an acid down: that acid where it is poured, else HCl.
func ownAcid(acid string) string {
	if x, err := table.ByAmount(acid); err == nil && x.Form == "liquid" {
		return acid
	}
	return "HCl"
}

// otherwise is the recipe that a salt beside a pH may mean as well as what it is taken for: the
// salt brought down, or its acid brought up. "" where the name says which, or both are the same.
func (r *Reading) otherwise(name, reagent string, got map[quantity.Kind]float64) string {
	acid, titrant, ok := table.Brought(name)
	base, err := table.ByAmount(titrant)
	strength := got[quantity.OfStrength]
	if !ok || err != nil || !base.Alkaline() || !(strength > 0) || len(got) != 1 || !namesSalt(name) || lastPK(acid) > 9 {
		return ""
	}
	salt, ok := saltOf(acid, base)
	if !ok {
		return ""
	}
	ph, much := chem.Digits(r.PH, 3), chem.Digits(1e3*strength, 4)+" mM"
	if strength >= 1 {
		much = chem.Digits(strength, 4) + " M"
	}
	x, _ := table.ByAmount(acid)
	switch {
	case reagent == salt && ownAcid(acid) == acid:
		return fmt.Sprintf("with %s of %s in all, write \"%s %s; pH %s with %s\"", much, bufferOf(x), acid, much, ph, titrant)
	case reagent == salt:
		return fmt.Sprintf("where the acid is weighed, write \"%s %s; pH %s with %s\"", acid, much, ph, titrant)
	}
	return fmt.Sprintf("where the salt is weighed, write \"%s %s; pH %s with %s\"", salt, much, ph, ownAcid(acid))
}

// sayOther notes the other reading of a salt that is the one buffer.
func (r *Reading) sayOther() {
	for i, x := range r.Parts {
		if x.other == "" || x.brought == "" || r.anotherBuffer(i) {
			continue
		}
		as := fmt.Sprintf("%q is taken as ", x.Name)
		r.Notes = slices.DeleteFunc(r.Notes, func(n string) bool { return x.Taken != "" && n == as+x.Taken })
		r.Notes = append(r.Notes, as+x.Reagent.Name+", brought to its pH with "+r.Titrant+"; "+x.other)
	}
}

// namesSalt reports whether a name is that of a salt of a metal and nothing else: "sodium
// acetate", "KOAc"; not "CHES-NaOH", nor "sodium acetate/acetic acid".
func namesSalt(name string) bool { return namesMetal.MatchString(name) && !namesTwo.MatchString(name) }

var (
	namesMetal = regexp.MustCompile(`(?i:sodium|potassium|lithium|natrium|kalium)|^(?:Na|K|Li)(?:[A-Z0-9]|[- ])`)
	namesTwo   = regexp.MustCompile(`(?i)acid|/|OH\b|HO?Ac\b`)
)

// withoutItsPH is the question that a name asks which is brought to a pH where none is said:
// "50 mM HEPES-KOH", and "Tris-acetate 40 mM", which as a salt would be half acid. Tris-HCl
// is said to be the salt.
func (r *Reading) withoutItsPH(name string, got map[quantity.Kind]float64) error {
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

// A stock of a salt of so many mol/L is made from the salt from a quarter of a pH above the pK of
// its acid on: less acid than salt goes in. Below that the bottle of acid is what is weighed, as in
// 5 M potassium acetate of pH 4.8, 29.5 mL of glacial acetic acid and KOH in 100 mL (both from
// memory of laboratory manuals). Our own choice.
const (
	strongSalt = 1.0
	quarterAPH = 0.25
)

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
