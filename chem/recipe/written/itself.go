package written

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// reach is how far from its pK a substance may be and still be what holds the pH.
const reach = 1.5

// literally takes back that a salt is the buffer where it buffers far from the
// pH and another part does so near it: the acetate in MOPS is a salt. So is the
// salt beside its own acid: acetic acid with sodium acetate.
func (r *Reading) literally() {
	for i := range r.Parts {
		x := &r.Parts[i]
		if base, ok := r.besideItsBase(i); ok {
			r.forget(x)
			acid, _, _ := table.Brought(x.brought)
			if reagent, err := table.ByAmount(acid); err == nil {
				r.Notes = append(r.Notes, fmt.Sprintf("%q beside %s is taken as %s: neither brings the other to a pH", x.Name, base, reagent.Name))
				x.Reagent, x.brought = reagent, ""
			}
			continue
		}
		if x.titrates && x.Taken == "" && r.anotherBuffer(i) { // ammonium acetate beside citrate: which acid is not said
			r.Titrant, r.Guessed, x.brought = "", false, ""
			continue
		}
		if x.brought == "" || x.Stock || (r.distance(x) <= reach || !r.anotherBuffer(i)) && !r.besideItsOwn(i) {
			continue
		}
		reagent, err := table.ByAmount(x.brought)
		if err != nil { // "sodium citrate" beside its own acid
			acid, titrant, _ := table.Brought(x.brought)
			base, errBase := table.ByAmount(titrant)
			salt, ok := saltOf(acid, base)
			if errBase != nil || !ok || !r.besideItsOwn(i) {
				continue
			}
			if reagent, err = table.ByAmount(salt); err != nil {
				continue
			}
			r.Notes = append(r.Notes, fmt.Sprintf("%q beside its own acid is taken as %s", x.Name, reagent.Name))
		}
		r.forget(x)
		x.Reagent, x.brought = reagent, ""
	}
	for _, x := range r.Parts { // the one that is left says what it is brought with
		if x.brought != "" && !x.Stock && r.Titrant == "" {
			_, r.Titrant, _ = table.Brought(x.brought)
		}
	}
	r.sayOther()
}

// forget takes back what was taken for the name of a part, and what it brings the whole to its
// pH with.
func (r *Reading) forget(x *Part) {
	for k, n := range r.Notes {
		if strings.Contains(n, fmt.Sprintf("%q is taken as %s", x.Name, x.Taken)) {
			r.Notes = append(r.Notes[:k], r.Notes[k+1:]...)
			break
		}
	}
	if x.titrates {
		r.Titrant, r.Guessed, r.Implied = "", false, false
	}
	x.Taken = ""
}

// besideItsBase is the base beside which an acid that is named by its anion alone is just
// that acid: "89 mM Tris, 89 mM borate", "40 mM Tris, 20 mM acetate". There is no more of the
// acid than of the base, and no metal ion comes with it.
func (r *Reading) besideItsBase(i int) (string, bool) {
	x := &r.Parts[i]
	acid, _, ok := table.Brought(x.brought)
	if x.Stock || !ok || x.brought == "" || strings.ContainsAny(x.brought, " -/·") || strings.HasPrefix(x.brought, "Na") || strings.HasPrefix(x.brought, "K") {
		return "", false
	}
	if a, err := table.ByAmount(acid); err != nil || len(a.Parts) != 1 || a.Parts[0].System == nil || a.Parts[0].System.Charge > 0 {
		return "", false
	}
	for k := range r.Parts {
		b := &r.Parts[k]
		p := b.Reagent.Parts
		base := len(p) == 1 && p[0].System != nil && p[0].System.Charge > 0 && len(p[0].System.Steps) == 1
		if k != i && base && b.brought == "" && !b.Stock && r.distance(b) <= reach && x.Amount <= b.Amount*(1+sameAmount) {
			return b.Reagent.Name, true
		}
	}
	return "", false
}

// besideItsOwn reports whether another part, that is what its name says, supplies what
// a part supplies.
func (r *Reading) besideItsOwn(i int) bool {
	own, _, ok := r.Parts[i].Reagent.Supplies()
	for k, x := range r.Parts {
		if other, _, is := x.Reagent.Supplies(); ok && is && k != i && x.brought == "" && !x.Stock && !x.Brings && other == own {
			return true
		}
	}
	return false
}

func (r *Reading) anotherBuffer(but ...int) bool {
	for i := range r.Parts {
		if !slices.Contains(but, i) && r.distance(&r.Parts[i]) <= reach {
			return true
		}
	}
	return false
}

// distance is how far the pH is from the next pK of a buffer; infinite for what
// is none.
func (r *Reading) distance(x *Part) float64 {
	d := math.Inf(1)
	for _, p := range x.Reagent.Parts {
		if p.System == nil || table.KindOf(p.System.Name) != table.Buffer {
			continue
		}
		for _, s := range p.System.Steps {
			d = math.Min(d, math.Abs(s.PK-r.PH))
		}
	}
	return d
}

// ItsOwn reports whether the pH of a recipe is that of what stands in it: two
// forms of one buffer, or a strong acid or base beside it. Else it is brought
// there, and people leave that unsaid.
func (r *Reading) ItsOwn() bool {
	forms := map[string]int{}
	for i := range r.Parts {
		x := &r.Parts[i]
		if x.Brings {
			continue
		}
		buffers := 0
		for _, p := range x.Reagent.Parts {
			if bufferPart(p) {
				forms[p.System.Name]++
				buffers++
			}
		}
		if x.Stock && buffers > 0 || strongest(x.Reagent.Name) && (buffers == 0 || r.besides(i)) {
			return true
		}
	}
	for _, n := range forms {
		if n > 1 {
			return true
		}
	}
	return false
}

// farFromIts is how far, in pH, two forms in equal amounts are from the pH that is said beside them
// before it is asked whether they are two solutions: salts and activities move it by less. Our own choice.
const farFromIts = 0.3

// twoStocks is the question that two forms of one buffer ask which have one strength and a pH that they
// do not give together: "0.1 M NaH2PO4 / 0.1 M Na2HPO4, pH 7.4" are as a rule two solutions, mixed
// until they have it.
func (r *Reading) twoStocks(final chem.Volume) error {
	for i := range r.Parts {
		for k := range r.Parts[:i] {
			x, y := &r.Parts[i], &r.Parts[k]
			sx, _, okX := x.Reagent.Supplies()
			sy, _, okY := y.Reagent.Supplies()
			if math.IsNaN(r.PH) || !okX || !okY || sx != sy || x.Reagent.Name == y.Reagent.Name || x.Stock || y.Stock || r.anotherBuffer(i, k) || math.Abs(float64(x.Amount/y.Amount)-1) > sameAmount || !byStrength(x.Text) || !byStrength(y.Text) {
				continue
			}
			all, err := solved.Describe(chem.Mix(x.Reagent.Dissolved(x.Amount), y.Reagent.Dissolved(y.Amount)).At(25).MadeUpTo(final))
			if err != nil || math.Abs(all.PH-r.PH) <= farFromIts {
				continue
			}
			if x.Reagent.SpectatorsEach() > y.Reagent.SpectatorsEach() {
				x, y = y, x
			}
			with := ""
			if base, ok := map[string]string{"Na+": " with NaOH", "K+": " with KOH"}[y.Reagent.Cations()]; ok {
				with = base
			}
			much, ph := chem.Digits(x.Amount.Millimoles()/final.Litres(), 4), chem.Digits(r.PH, 3)
			return &recipe.FieldError{What: fmt.Sprintf("%s and %s, %s mM of each, give pH %.1f and not %s: are they two solutions that are mixed until it is that?", y.Reagent.Name, x.Reagent.Name, much, all.PH, ph),
				Hint: fmt.Sprintf("write %q, or each with its volume", fmt.Sprintf("%s %s mM; pH %s%s", x.Reagent.Name, much, ph, with))}
		}
	}
	return nil
}

// byStrength reports whether a part is given by its strength in the whole, and nothing else.
func byStrength(text string) bool {
	_, got, err := quantity.In(phWords.ReplaceAllString(text, " "))
	_, strength := got[quantity.OfStrength]
	return err == nil && strength && len(got) == 1
}

// besides reports whether another part than one is a buffer.
func (r *Reading) besides(but int) bool {
	for i, x := range r.Parts {
		if i != but && slices.ContainsFunc(x.Reagent.Parts, bufferPart) {
			return true
		}
	}
	return false
}

func bufferPart(p table.Part) bool {
	return p.System != nil && table.KindOf(p.System.Name) == table.Buffer
}
