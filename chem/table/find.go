package table

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"example.org/halfdrop/chem"
)

// UnknownError says that a name is in none of the tables.
type UnknownError struct {
	What    string // "reagent" or "system"
	Name    string
	Nearest []string // known names that look like it, best first; may be empty
}

// Error names what is unknown and the names that come near.
func (e *UnknownError) Error() string {
	if len(e.Nearest) == 0 {
		return fmt.Sprintf("table: unknown %s %q: give a name such as Tris, a formula such as Na2HPO4·7H2O or a usual synonym", e.What, e.Name)
	}
	return fmt.Sprintf("table: unknown %s %q: did you mean %s?", e.What, e.Name, strings.Join(e.Nearest, ", "))
}

// AmbiguousError says that a name stands for several reagents that give
// different answers to the question asked.
type AmbiguousError struct {
	Name       string
	Candidates []string // full names, each of which is accepted instead; strengths when Instead is set
	Why        string
	Instead    string // what to give instead, when no candidate would do
}

// Error asks which of the candidates is meant.
func (e *AmbiguousError) Error() string {
	if e.Instead != "" {
		return fmt.Sprintf("table: %q: %s; give %s (%s)", e.Name, e.Why, e.Instead, strings.Join(e.Candidates, ", "))
	}
	return fmt.Sprintf("table: %q: %s; %s", e.Name, e.Why, e.Ask())
}

// Ask is what to do about it: to say which, or to leave out what no table has.
func (e *AmbiguousError) Ask() string {
	switch {
	case strings.HasPrefix(e.Candidates[0], "leave it out"):
		return strings.Join(e.Candidates, ", or ")
	case len(e.Candidates) == 1:
		return "use " + e.Candidates[0]
	}
	return "say which: " + strings.Join(e.Candidates, ", ")
}

// index finds reagents by normalised name.
type index struct {
	all   []Reagent
	byKey map[string][]int
	names []string
}

func (t *index) add(r Reagent) {
	n := len(t.all)
	t.all = append(t.all, r)
	bare, water, _ := strings.Cut(r.Formula, "·")
	bases := append([]string{r.Name, bare}, r.Synonyms...)
	for _, base := range bases {
		bases = append(bases, shortMetal(base)...)
	}
	var forms []string
	for _, form := range formNames(r.Form, water) {
		forms = append(forms, key(form))
	}
	for _, base := range bases {
		k := key(base)
		t.link(k, n)
		for _, form := range forms {
			t.link(k+form, n)
			t.link(form+k, n)
		}
	}
	t.names = append(t.names, r.FullName()) // with its form, whether there are others or not
	if r.Definite() {
		t.names = append(t.names, r.Formula)
	}
	t.names = append(t.names, r.Synonyms...)
}

func (t *index) link(k string, n int) {
	if k == "" {
		return // no formula
	}
	if !slices.Contains(t.byKey[k], n) {
		t.byKey[k] = append(t.byKey[k], n)
	}
}

// shortMetal is the name with the metal as its symbol, as in "Na acetate" or
// "KH phthalate", when it begins with one.
func shortMetal(name string) []string {
	for _, m := range [][2]string{
		{"potassium hydrogen ", "KH "}, {"sodium hydrogen ", "NaH "}, {"sodium ", "Na "}, {"potassium ", "K "},
		{"ammonium ", "NH4 "}, {"disodium ", "Na2 "}, {"dipotassium ", "K2 "}, {"trisodium ", "Na3 "}, {"tripotassium ", "K3 "},
	} {
		if rest, ok := strings.CutPrefix(name, m[0]); ok {
			return []string{m[1] + rest}
		}
	}
	return nil
}

// formNames are the usual ways to say a form: "heptahydrate", "7-hydrate",
// "·7H2O", "anhydrous", "anhyd".
func formNames(form, water string) []string {
	out := []string{form}
	switch {
	case form == "anhydrous":
		out = append(out, "anhyd", "anhydr", "water free")
	case strings.HasSuffix(form, "hydrate"):
		out = append(out, water)
		if n, ok := strings.CutSuffix(water, "H2O"); ok && n != "" {
			out = append(out, n+"-hydrate")
		}
		if form == "monohydrate" {
			out = append(out, "1H2O", "hydrate")
		}
	case form == "free base":
		out = append(out, "base")
	}
	return out
}

// Find is every reagent a name, formula or synonym may stand for, in any case
// and with or without spaces, hyphens, dots and subscripts. A hydrate that is
// said narrows the answer to it. A short name gives the jar that is meant as a
// rule (Taken), or an *AmbiguousError where several things are called so. Unknown
// names give an *UnknownError.
func Find(name string) ([]Reagent, error) {
	t := reagents()
	if err := asks(name); err != nil {
		return nil, err
	}
	if jar, ok := Taken(name); ok {
		name = jar
	}
	hits := t.find(name)
	if len(hits) == 0 {
		if x, ok := lookUp(brought, name); ok {
			return nil, &UnknownError{What: "reagent", Name: name, Nearest: t.jarsOf(x.means[0])}
		}
		return nil, &UnknownError{What: "reagent", Name: name, Nearest: nearest(name, t.names)}
	}
	out := make([]Reagent, len(hits))
	for i, n := range hits {
		out[i] = t.all[n]
	}
	return out, nil
}

// jarsOf are a reagent and those of the bench that supply the same system: what "acetate" may
// be where no pH stands beside it.
func (t *index) jarsOf(name string) []string {
	out := []string{name}
	own, err := ByAmount(name)
	if err != nil {
		return out
	}
	sys, _, ok := own.Supplies()
	for _, r := range t.all {
		s, _, same := r.Supplies()
		if ok && same && s.Name == sys.Name && r.By == Seen && !r.Seldom() && !slices.Contains(out, r.Name) {
			out = append(out, r.Name)
		}
	}
	return out
}

// find are the places of the reagents a name may stand for.
func (t *index) find(name string) []int {
	hits := t.byKey[key(name)]
	for _, other := range alsoWritten(name) {
		if len(hits) == 0 {
			hits = t.byKey[key(other)]
		}
	}
	if len(hits) == 0 {
		hits = t.byKey[fromGerman(name)]
	}
	if len(hits) == 0 {
		hits = t.byKey[fromFrench(name)]
	}
	return hits
}

// Known reports whether Find has an answer to a name; it looks for no other that is
// like it, which takes a hundred times as long.
func Known(name string) bool {
	if asks(name) != nil {
		return false
	}
	if jar, ok := Taken(name); ok {
		name = jar
	}
	return len(reagents().find(name)) > 0
}

// writings are ways to write a name that the list has otherwise.
var writings = []struct{ from, to string }{
	{"(?i)^(l|d|dl)-", ""}, {"(?i)\\(?\\bNa salt\\b\\)?", "sodium salt"}, {"(?i)\\(?\\bK salt\\b\\)?", "potassium salt"},
	{"(?i)\\(?\\bNa2 salt\\b\\)?", "disodium salt"}, {"[ ·.-]+HCl$", " hydrochloride"}, {"(?i) hydrochloride$", " HCl"},
	{"^Na[ -]", "sodium "}, {"^K[ -]", "potassium "}, {"^Li[ -]", "lithium "}, {"^Mg[ -]", "magnesium "}, {"^Ca[ -]", "calcium "}, {"^Zn[ -]", "zinc "}, {"^NH4[ -]", "ammonium "},
}

var writingOf = sync.OnceValue(func() (list []*regexp.Regexp) {
	for _, w := range writings {
		list = append(list, regexp.MustCompile(w.from))
	}
	return list
})

// alsoWritten are other ways to write a name: "HEPES (Na salt)" is HEPES sodium
// salt.
func alsoWritten(name string) (out []string) {
	for i, r := range writingOf() {
		if s := r.ReplaceAllString(name, writings[i].to); s != name {
			out = append(out, s)
			for k, r := range writingOf()[i+1:] {
				if t := r.ReplaceAllString(s, writings[i+1+k].to); t != s {
					out = append(out, t)
				}
			}
		}
	}
	return out
}

// ByAmount is the reagent meant when moles are given: the hydrate need not be
// said, since every hydrate supplies the same. The first of the table stands
// for all. A name of reagents that supply different things ("sodium
// phosphate") gives an *AmbiguousError.
func ByAmount(name string) (Reagent, error) {
	list, err := Find(name)
	if err != nil {
		return Reagent{}, err
	}
	for _, r := range list[1:] {
		if !slices.Equal(r.Parts, list[0].Parts) {
			return Reagent{}, ambiguous(name, "it may be one of several salts", list)
		}
	}
	return list[0], nil
}

// ByMass is the reagent meant when a mass is given. A hydrate that matters and
// is not said, or a reagent that comes as a solution of varying strength,
// gives an *AmbiguousError: a question, not a guess.
func ByMass(name string) (Reagent, error) {
	if _, err := ByAmount(name); err != nil {
		return Reagent{}, err
	}
	list, err := Find(name)
	if err != nil {
		return Reagent{}, err
	}
	if len(list) > 1 {
		return Reagent{}, ambiguous(name, "a mass depends on the water of crystallisation", list)
	}
	if r := list[0]; !r.Solid() {
		e := &AmbiguousError{Name: name, Why: "it is sold as a solution, so a mass does not say how much", Instead: "mol or mmol instead"}
		for _, s := range r.Stocks {
			e.Candidates = append(e.Candidates, fmt.Sprintf("%g %% w/w is %.1f mol/L", s.MassPercent, float64(s.Molar)))
		}
		if len(e.Candidates) == 0 {
			e.Candidates = []string{fmt.Sprintf("%.4g g of it without water are 1 mol", float64(r.MolarMass))}
		}
		return Reagent{}, e
	}
	return list[0], nil
}

func ambiguous(name, why string, list []Reagent) error {
	e := &AmbiguousError{Name: name, Why: why}
	for _, r := range list {
		e.Candidates = append(e.Candidates, r.FullName())
	}
	return e
}

// FromMass is the reagent and the amount of it in a mass, for a purity from 0
// to 1 by mass. Errors are those of ByMass.
func FromMass(name string, m chem.Mass, purity float64) (Reagent, chem.Amount, error) {
	r, err := ByMass(name)
	if err != nil {
		return r, 0, err
	}
	if !(purity > 0 && purity <= 1) {
		return r, 0, fmt.Errorf("table: %s: purity %g: must be above 0 and at most 1", name, purity)
	}
	return r, chem.Amount(float64(r.MolarMass.In(m)) * purity), nil
}
