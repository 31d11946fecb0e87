package prepare

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/table"
)

// Dilution is how a solution is made up.
type Dilution struct {
	Reagent table.Reagent
	Molar   float64
	Volume  chem.Volume // made up to
	From    string      // "37.2 % w/w, 12.1 M", "NaOH 1 M", "the solid"
	Source  float64     // mol/L of what it is made from; 0 for a solid
	Take    chem.Volume // of it
	Mass    chem.Mass   // of a solid
	First   chem.Volume // of water that is there before it goes in
	Acid    bool
}

// Name is the label of what is made.
func (l Dilution) Name() string {
	return buffer.Bottle{Reagent: l.Reagent, Molar: chem.Molarity(l.Molar)}.Name()
}

// leastTaken and leastMass are what can be measured and weighed with care.
const (
	leastTaken = 1 * chem.Millilitre
	leastMass  = 0.99 * chem.Gram // 50 mL of NaOH 0.5 M take 1.00 g
)

// made are the usual volumes of a flask.
var made = []float64{50, 100, 250, 500, 1000}

// flask is the smallest flask that holds a volume.
func flask(v chem.Volume) chem.Volume {
	for _, m := range made {
		if m >= v.Millilitres() {
			return chem.Volume(m) * chem.Millilitre
		}
	}
	return chem.Volume(math.Ceil(v.Litres())) * chem.Litre
}

// dilutions are the solutions to make up for the titrants, in the order in
// which they are made: the strong ones first.
func (x *Draft) dilutions(list []Chosen) []Dilution {
	var out []Dilution
	order := slices.Clone(list)
	slices.SortStableFunc(order, func(a, b Chosen) int {
		if a.Molar > b.Molar {
			return -1
		}
		return 1
	})
	for _, c := range order {
		if !c.AtHand {
			v := flask(max(1.5*c.Tenth, 50*chem.Millilitre))
			if c.Role == Coarse || !hasCoarse(list) {
				v = flask(max(1.5*c.Volume, v))
			}
			out = x.makeUp(out, c.Reagent, c.Molar, v, 0)
		}
	}
	return out
}

func hasCoarse(list []Chosen) bool {
	return slices.ContainsFunc(list, func(c Chosen) bool { return c.Role == Coarse })
}

// makeUp appends what has to be made for a solution, from a bottle at hand, what
// is already in the list, the solid, or the concentrate as sold.
func (x *Draft) makeUp(out []Dilution, r table.Reagent, molar float64, v chem.Volume, depth int) []Dilution {
	if slices.ContainsFunc(out, func(l Dilution) bool { return l.Reagent.Name == r.Name && math.Abs(l.Molar/molar-1) < 1e-9 }) {
		return out
	}
	l := Dilution{Reagent: r, Molar: molar, Volume: v, Acid: !r.Alkaline()}
	from, strength := x.sourceOf(out, r, molar)
	switch {
	case strength > 0:
		l.From, l.Source, l.Take = from, strength, chem.Volume(molar/strength)*v
	case r.Solid() && r.Form != "liquid":
		l.From, l.Mass = "the solid", r.MolarMass.Of(chem.Molarity(molar).In(v))
	default:
		return out // its strength is not known here: the bottle says it
	}
	tooLittle := l.Take > 0 && l.Take < leastTaken || l.Mass > 0 && l.Mass < leastMass
	if tooLittle && depth < 2 && molar < 1 {
		between := 1.0
		if depth > 0 {
			between = 10 * molar
		}
		out = x.makeUp(out, r, between, 100*chem.Millilitre, depth+1)
		return x.makeUp(out, r, molar, v, depth+1)
	}
	if math.Abs(l.Source/molar-1) < 0.005 {
		return out // used as sold
	}
	l.First = min(0.6*v, 0.9*(v-l.Take))
	return append(out, l)
}

// sourceOf is the weakest solution of a reagent that is strong enough.
func (x *Draft) sourceOf(out []Dilution, r table.Reagent, molar float64) (string, float64) {
	name, best := "", math.Inf(1)
	for _, b := range x.Demand.Bottles {
		if s := float64(b.Molar); b.Reagent.Name == r.Name && s > molar && s < best {
			name, best = "the bottle in stock, "+b.Name(), s
		}
	}
	for _, l := range out {
		if l.Reagent.Name == r.Name && l.Molar > molar && l.Molar < best {
			name, best = l.Name(), l.Molar
		}
	}
	if name == "" && !(r.Solid() && r.Form != "liquid") && len(r.Stocks) > 0 {
		if st := r.Stocks[0]; float64(st.Molar) >= 0.995*molar {
			name, best = fmt.Sprintf("the concentrate as sold, %g %% w/w, about %s M", st.MassPercent, chem.Digits(float64(st.Molar), 3)), float64(st.Molar)
		}
	}
	if name == "" {
		return "", 0
	}
	return name, best
}
