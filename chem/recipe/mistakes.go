package recipe

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/table"
)

// How likely each gross mistake is before any reading: about one in a hundred,
// less for the rarer ones (a choice of this project; no figures were found).
const (
	formPrior   = 0.010
	amountPrior = 0.008
	doublePrior = 0.004
	strongPrior = 0.004
	weakPrior   = 0.006
	tenfold     = 0.006 // weaker
	tenStronger = 0.0004
	kindPrior   = 0.004
	deafPrior   = 0.004
	absentPrior = 1e-5 // it would show before anything is given, or with the first drops
)

// Absent is the code of the account in which none of what was to be weighed is in the
// beaker: it is not amended in the plan, but put right.
const Absent = "absent"

// otherAmountSD is the spread of ln(amount) when another substance than the
// planned one was weighed: by mass or by amount is not known.
const otherAmountSD = 0.12

// alternative is what may be in the beaker instead of what was planned.
type alternative struct {
	name, code string
	content    chem.Solution
	prior      float64
	amountSD   float64
	weighed    []Weighed // the same as a plan has it
}

// alternatives are the gross mistakes of weighing: another form of the same
// substance, another hydrate, another amount, the two salts exchanged.
func (s *Setup) alternatives() []alternative {
	var out []alternative
	for i, p := range s.Weighed {
		if !s.matters(p) {
			continue
		}
		for _, r := range otherForms(p.Reagent) {
			out = append(out, alternative{
				name: fmt.Sprintf("%s in the beaker, not %s", r.Name, p.Reagent.Name), code: "other_form:" + r.Name,
				content: s.contentWith(i, r, p.Amount), prior: formPrior, amountSD: otherAmountSD,
				weighed: s.weighedWith(i, r.FullName(), p.Amount, otherAmountSD),
			})
		}
		for _, r := range otherHydrates(p.Reagent) {
			n := chem.Amount(float64(p.Amount) * float64(p.Reagent.MolarMass) / float64(r.MolarMass))
			out = append(out, alternative{
				name: fmt.Sprintf("%s in the beaker, not %s", r.FullName(), p.Reagent.FullName()), code: "other_hydrate:" + r.FullName(),
				content: s.contentWith(i, p.Reagent, n), prior: amountPrior / 2,
				weighed: s.weighedWith(i, r.FullName(), n, 0),
			})
		}
	}
	out = append(out, s.otherAmounts()...)
	if len(s.Content().Systems) > 0 {
		out = append(out, alternative{name: "none of the buffer in the beaker, only water", code: Absent, prior: absentPrior})
	}
	if a, ok := s.exchanged(); ok {
		out = append(out, a)
	}
	return out
}

// matters reports whether a portion makes a good part of what buffers: of a
// salt or a trace beside it no mistake is looked for.
func (s *Setup) matters(p Portion) bool {
	most := chem.Amount(0)
	amount := func(p Portion) chem.Amount {
		n := 0
		for _, x := range p.Reagent.Parts {
			if x.System != nil && table.KindOf(x.System.Name) == table.Buffer {
				n += x.Count
			}
		}
		return p.Amount * chem.Amount(n)
	}
	for _, q := range s.Weighed {
		most = max(most, amount(q))
	}
	return most == 0 || amount(p) >= most/10
}

func (s *Setup) otherAmounts() []alternative {
	var out []alternative
	for _, f := range []struct {
		name, code string
		factor     float64
		prior      float64
	}{
		{"half of the buffer in the beaker", "amount:0.5", 0.5, amountPrior},
		{"one and a half times the buffer in the beaker", "amount:1.5", 1.5, amountPrior},
		{"twice the buffer in the beaker", "amount:2", 2, doublePrior},
	} {
		out = append(out, alternative{name: f.name, code: f.code, content: s.Content().Scale(f.factor), prior: f.prior, weighed: s.weighedTimes(f.factor)})
	}
	return out
}

// exchanged is the account in which two forms of one substance changed places.
func (s *Setup) exchanged() (alternative, bool) {
	if len(s.Weighed) < 2 || !s.Weighed[0].Reagent.SameSystems(s.Weighed[1].Reagent) {
		return alternative{}, false
	}
	a, b := s.Weighed[0], s.Weighed[1]
	c := Dissolved(append([]Portion{{a.Reagent, b.Amount}, {b.Reagent, a.Amount}}, s.Weighed[2:]...))
	w := s.weighedWith(0, s.Plan.Weighed[1].Reagent, a.Amount, 0)
	w[1] = Weighed{Reagent: s.Plan.Weighed[0].Reagent, MMol: millimoles(b.Amount)}
	return alternative{name: "the two salts exchanged", code: "exchanged", content: c, prior: formPrior, weighed: w}, true
}

// contentWith is the content of the beaker with one portion replaced.
func (s *Setup) contentWith(i int, r table.Reagent, n chem.Amount) chem.Solution {
	list := slices.Clone(s.Weighed)
	list[i] = Portion{r, n}
	return Dissolved(list)
}

// otherForms are the solids of the same systems in another state of protonation.
func otherForms(r table.Reagent) []table.Reagent {
	var out []table.Reagent
	if _, _, ok := r.Supplies(); !ok {
		return nil
	}
	seen := map[float64]bool{r.SpectatorsEach(): true}
	for _, o := range table.Reagents() {
		if o.Solid() && r.SameSystems(o) && !seen[o.SpectatorsEach()] {
			seen[o.SpectatorsEach()] = true
			out = append(out, o)
		}
	}
	return out
}

// otherHydrates are the same salt with other water of crystallisation.
func otherHydrates(r table.Reagent) []table.Reagent {
	var out []table.Reagent
	for _, o := range table.Reagents() {
		if o.Name == r.Name && o.Formula != r.Formula && math.Abs(float64(o.MolarMass)/float64(r.MolarMass)-1) > 0.06 {
			out = append(out, o)
		}
	}
	return out
}

// mistakes are the gross mistakes that the coach keeps an eye on.
func (s *Setup) mistakes(m *chem.Model, b *coach.Bench, alts []alternative) ([]coach.Mistake, error) {
	var out []coach.Mistake
	for _, a := range alts {
		c, buffer, err := dry(m, a.content)
		if err != nil {
			return nil, err
		}
		out = append(out, coach.Mistake{Name: a.name, Code: a.code, Prior: a.prior, Weighed: &c, Buffer: buffer, AmountSD: a.amountSD})
	}
	for j := range b.Stocks {
		out = append(out, bottles(&b.Stocks[j], j)...)
	}
	return append(out, coach.Mistake{
		Name: "an electrode that does not follow the beaker", Code: "electrode", Prior: deafPrior, Deaf: true,
	}), nil
}

// strengths are what a bottle may hold of what its label says.
var strengths = []struct {
	words  string
	factor float64
	prior  float64
}{
	{"twice as strong as labelled", 2, strongPrior},
	{"half as strong as labelled", 0.5, weakPrior},
	{"ten times as strong as labelled", 10, tenStronger},
	{"ten times weaker than labelled", 0.1, tenfold},
}

func strengthCode(stock string, factor float64) string {
	return fmt.Sprintf("stock:%s:%g", stock, factor)
}

func kindCode(stock string) string { return "kind:" + stock }

// bottles are the mistakes of one stock: another strength, the other kind.
func bottles(st *coach.Stock, j int) []coach.Mistake {
	var out []coach.Mistake
	for _, f := range strengths {
		c := st.PerLitre.Stronger(f.factor)
		out = append(out, coach.Mistake{
			Name: st.Name + " " + f.words, Code: strengthCode(st.Name, f.factor), Prior: f.prior, Stock: j + 1, PerLitre: &c,
		})
	}
	return append(out, otherKind(st, j))
}

// otherKind is an acid in the bottle of a base, or a base in that of an acid.
func otherKind(st *coach.Stock, j int) coach.Mistake {
	kind := chem.Composition{Water: st.PerLitre.Water, Charge: -math.Copysign(float64(st.Molarity), st.PerLitre.Charge), Strength: float64(st.Molarity)}
	word := "an acid"
	if kind.Charge > 0 {
		word = "a base"
	}
	return coach.Mistake{
		Name: fmt.Sprintf("%s in the bottle labelled %s", word, st.Name), Code: kindCode(st.Name), Prior: kindPrior, Stock: j + 1, PerLitre: &kind,
	}
}
