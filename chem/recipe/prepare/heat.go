package prepare

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/table"
)

// What is warm, hot and boiling, as a rise above room temperature, K: 60 °C
// scalds and softens plastic, near 100 °C a solution spits (a choice of this
// project; the heats are of table/data/heats.csv).
const (
	noticed = 3.0
	hot     = 38.0
	boiling = 75.0
)

// heatOfWater is how much one kilogram of a solution takes, kJ/K: that of water;
// solutions take up to a tenth less.
const heatOfWater = 4.18

// neutralisation is the heat of H⁺ + OH⁻, kJ/mol: J. J. Christensen et al. and
// the tables of thermodynamic properties, from memory.
const neutralisation = -55.8

// Rise is by how much a mass of water, kg, warms when an amount of a reagent
// dissolves in it, and no heat gets away; false where its heat is not known.
func Rise(r table.Reagent, n chem.Amount, kg float64) (kelvin float64, known bool) {
	h, ok := r.Heat()
	if !ok || !(kg > 0) {
		return 0, false
	}
	all := kg + (r.MolarMass.Of(n)).Kilograms()
	return -h * n.Moles() / (heatOfWater * all), true
}

// heatWords are the cautions of a rise; "" where nothing is to be said.
func heatWords(kelvin float64) string {
	switch {
	case kelvin >= boiling:
		return fmt.Sprintf("It would boil and spit: the heat is enough for a rise of %.0f K. A wide heat-proof beaker, never a bottle or a measuring flask, in an ice bath; small portions, each dissolved and cooled before the next; face shield, gloves, apron, fume cupboard. A weaker solution gives off less.", kelvin)
	case kelvin >= hot:
		return fmt.Sprintf("It would get hotter than 60 °C, warming by %.0f K if added all at once: a heat-proof beaker in an ice bath, small portions, each dissolved before the next; goggles and face shield.", kelvin)
	case kelvin >= 10:
		return fmt.Sprintf("It warms by %.0f K if added all at once: add it in portions.", kelvin)
	case kelvin >= noticed:
		return fmt.Sprintf("It warms by about %.0f K.", kelvin)
	case kelvin <= -noticed:
		return fmt.Sprintf("It cools by about %.0f K: let it warm up again before the pH is read.", -kelvin)
	}
	return ""
}

// warming is the rise of all that is weighed into the beaker, and of the
// titrant afterwards.
func (x *Draft) warming() (weighed, titrated float64) {
	kg := x.Setup.StartKg(x.Demand.Bench)
	for _, m := range early(x.Measures) {
		if m.Bottle == nil {
			k, _ := Rise(m.Reagent, m.Amount, kg)
			weighed += k
		}
	}
	if x.Way != buffer.ByTitrant || kg <= 0 {
		return weighed, 0
	}
	heat := neutralisation
	if i := x.Buffer.Step; i < len(x.Buffer.System.Steps) {
		heat += x.Buffer.System.Steps[i].DH
	}
	if !x.Base { // acid gives its proton to the buffer: the heat of ionization, back
		heat = 0
		if i := x.Buffer.Step; i < len(x.Buffer.System.Steps) {
			heat = -x.Buffer.System.Steps[i].DH
		}
	}
	return weighed, -heat * x.Amount.Moles() / (heatOfWater * kg)
}

// heat is the rise of making up a titrant: all of it at once into the water
// that is there first.
func (l Dilution) heat() float64 {
	k, known := Rise(l.Reagent, chem.Molarity(l.Molar).In(l.Volume), l.First.Litres())
	if !known || l.Source > 0 && l.Source <= 2 {
		return 0 // of what is dilute already little heat is left
	}
	if l.Source > 0 && l.Reagent.Solid() && l.Reagent.Form != "liquid" { // from a strong solution of a solid: most of the heat went when it was made
		return math.Max(0, k/4)
	}
	return k
}
