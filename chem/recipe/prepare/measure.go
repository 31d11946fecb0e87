package prepare

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// Measure is something to weigh or to measure out.
type Measure struct {
	Reagent table.Reagent
	Amount  chem.Amount    // of the reagent, pure
	Mass    chem.Mass      // to weigh, purity considered; 0 when it is no solid
	Purity  float64        // by mass
	Others  []OtherMass    // of the other hydrates, any of which will do instead
	Bottle  *buffer.Bottle // measured from this stock solution instead
	Volume  chem.Volume    // with Bottle, or of a liquid or a concentrate as sold
	AsSold  string         // with Volume and no Bottle: which concentrate
	Why     string         // "the buffer", "ionic strength"
	Late    bool           // it waits until the pH is set
	Share   float64        // of the mark that it takes up where it is no acid, base or ion
}

// OtherMass is the mass of another hydrate.
type OtherMass struct {
	Reagent table.Reagent
	Mass    chem.Mass
}

// asPure is the percentage from which a liquid as it is sold counts as pure: less than it is
// weighed and measured to. Our own choice.
const asPure = 99.0

// measured is how an amount of a form is measured out: from a bottle at hand,
// else weighed, else by volume of what is sold.
func measured(d *buffer.Demand, f buffer.Form, n chem.Amount, why string) Measure {
	m := Measure{Reagent: f.Reagent, Amount: n, Purity: d.Purity, Why: why, Share: float64(n) * float64(f.Room) / float64(d.Volume)}
	for i, b := range d.Bottles {
		if slices.Equal(b.Reagent.Parts, f.Parts) {
			m.Bottle, m.Volume = &d.Bottles[i], chem.Volume(float64(n)/float64(b.Molar))
			return m
		}
	}
	if f.Form == "liquid" && len(f.Stocks) > 0 && m.Purity == 1 && f.Stocks[0].MassPercent < asPure {
		m.Purity = f.Stocks[0].MassPercent / 100 // what is weighed is what would be measured out
	}
	if f.Solid() {
		m.Mass = f.MolarMass.Of(n) / chem.Mass(m.Purity)
	}
	if len(f.Stocks) > 0 && (f.Form == "liquid" || !f.Solid()) {
		st := f.Stocks[0]
		m.Volume = chem.Volume(float64(n) / float64(st.Molar))
		m.AsSold = fmt.Sprintf("%g %% w/w, %s M", st.MassPercent, chem.Digits(float64(st.Molar), 3))
		if !f.Reagent.Definite() { // without a molar mass its strength is in g/L
			m.AsSold = fmt.Sprintf("%s g/mL", chem.Digits(float64(st.Molar)/1e3, 3))
		}
	}
	if !f.Definite {
		for _, r := range f.Hydrates {
			m.Others = append(m.Others, OtherMass{r, r.MolarMass.Of(n) / chem.Mass(d.Purity)})
		}
	}
	return m
}

// weighed is the entry in the plan. A mass goes into it only where it is
// certain which hydrate is weighed; the amounts are those a balance shows.
func (m Measure) weighed() recipe.Weighed {
	w := m.amount()
	w.Late = m.Late
	return w
}

func (m Measure) amount() recipe.Weighed {
	if m.Bottle == nil && m.Mass > 0 && len(m.Others) == 0 && m.Purity < 1 {
		g, pct := chem.Rounded(m.Mass.Grams(), 4), chem.Rounded(100*m.Purity, 4)
		return recipe.Weighed{Reagent: m.Reagent.FullName(), Grams: &g, PurityPct: &pct}
	}
	if !m.Reagent.Definite() {
		g := chem.Rounded(float64(m.Amount), 4)
		return recipe.Weighed{Reagent: m.Reagent.FullName(), Grams: &g}
	}
	mmol, name := chem.Rounded(m.Amount.Millimoles(), 4), m.Reagent.FullName()
	if len(m.Others) > 0 {
		name = m.Reagent.Formula
		if r, err := table.ByAmount(m.Reagent.Name); err == nil && slices.Equal(r.Parts, m.Reagent.Parts) {
			name = m.Reagent.Name
		}
	}
	return recipe.Weighed{Reagent: name, MMol: &mmol}
}

// saltMeasured is the salt that raises the ionic strength.
func saltMeasured(d *buffer.Demand, n chem.Amount) (Measure, error) {
	list, err := table.Find(d.Salt)
	if err != nil {
		return Measure{}, err
	}
	f := buffer.Form{Reagent: list[0], Hydrates: list[1:], Units: 1, Definite: len(list) == 1}
	return measured(withoutPurity(d), f, n, "ionic strength"), nil
}

// withoutPurity: the purity said is that of the buffer, not of the salt.
func withoutPurity(d *buffer.Demand) *buffer.Demand {
	x := *d
	x.Purity = 1
	return &x
}

// volumes is what the measures bring into the beaker as solutions.
func volumes(list []Measure) chem.Volume {
	var v chem.Volume
	for _, m := range list {
		v += m.Volume
	}
	return v
}

// early are those of a list that do not wait until the pH is set.
func early(list []Measure) []Measure {
	return slices.DeleteFunc(slices.Clone(list), func(m Measure) bool { return m.Late })
}

// contentOf is what a list of measures brings, without water.
func contentOf(list []Measure) chem.Solution {
	var s chem.Solution
	for _, m := range list {
		s = chem.Mix(s, m.Reagent.Dissolved(m.Amount))
	}
	return s
}

// beakerVolume is how much stands in the beaker at the start; what is poured in once the pH
// is set has its room under the mark.
func beakerVolume(d *buffer.Demand, all []Measure) (chem.Volume, error) {
	list := early(all)
	waits := volumes(all) - volumes(list)
	most := 0.95 * (d.Volume - waits)
	start, liquid := min(chem.Volume(d.Fill)*d.Volume, most), leastVolume(d, list)
	if liquid <= start {
		// What is poured and takes up most of it leaves too little water for a pH: more water then.
		for s := contentOf(list).At(d.Bench); start < most; start = min(start+d.Volume/20, most) {
			if s.Volume = start; s.Solutes() < start/2 {
				break
			}
			if _, err := solved.Describe(s); !errors.Is(err, chem.ErrAbsurd) {
				break
			}
		}
		return roundVolume(start), nil
	}
	if liquid > most {
		return 0, fmt.Errorf("what goes in takes up %s mL by itself, and the mark is at %s mL", chem.Digits((liquid+waits).Millilitres(), 3), chem.Digits(d.Volume.Millilitres(), 4))
	}
	return chem.Volume(math.Ceil(liquid.Millilitres())) * chem.Millilitre, nil
}

// waterFor is what is to be put into the beaker so that it holds as much as
// planned when all is in: without the room of the solutes, the water of
// crystals and what comes as solutions.
func waterFor(d *buffer.Demand, list []Measure, s *recipe.Setup) chem.Volume {
	kg := s.StartKg(d.Bench)
	for _, m := range early(list) {
		switch {
		case m.Volume > 0 && m.Mass == 0:
			p := m.Reagent.Dissolved(m.Amount).At(d.Bench)
			p.Volume = m.Volume
			kg -= p.WaterMass().Kilograms()
		case m.Mass > 0:
			kg -= m.Reagent.CrystalWater() * m.Amount.Moles() * waterMolarMass
		}
	}
	return chem.Volume(math.Max(kg, 0) / chem.WaterDensity(d.Bench))
}

// waterMolarMass in kg/mol.
const waterMolarMass = 0.018015

// leastVolume is the volume that a list takes with as much water as it needs to be
// stirred: the liquids as they are poured, the solids with their own volume of
// water.
func leastVolume(d *buffer.Demand, list []Measure) chem.Volume {
	poured := volumes(list)
	s := contentOf(list).At(d.Bench)
	s.Volume = d.Volume
	solids := s.Solutes() - chem.Volume(0)
	for _, m := range list {
		if m.Volume > 0 { // its solutes are in the volume that is poured
			p := m.Reagent.Dissolved(m.Amount)
			p.Volume = d.Volume
			solids -= p.Solutes()
		}
	}
	return poured + 2*max(solids, 0)
}

func roundVolume(v chem.Volume) chem.Volume {
	return chem.Volume(chem.Rounded(v.Millilitres(), 3)) * chem.Millilitre
}

// ml writes a volume in mL with three digits.
func ml(v chem.Volume) string {
	if v >= chem.Litre {
		return chem.Digits(v.Millilitres(), 4) + " mL"
	}
	return chem.Digits(v.Millilitres(), 3) + " mL"
}
