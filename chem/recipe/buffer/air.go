package buffer

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/chem/thermo"
)

// oxidation of iron(II) by air: −d[Fe²⁺]/dt = k p(O₂) [OH⁻]² [Fe²⁺], k in
// L² mol⁻² atm⁻¹ min⁻¹, near 20 °C. W. Stumm & G. F. Lee, Ind. Eng. Chem. 53, 143
// (1961), from memory.
const (
	oxidation = 8e13
	oxygen    = 0.21 // atm
)

// anHour is the half-life, min, of iron(II) below which it is said that air takes
// it: the time between weighing and use. Our own choice.
const anHour = 60

// gases are the acids that leave a beaker and poison, by their systems, whose most protonated
// form they are.
var gases = map[string]string{
	"azide":    "hydrazoic acid, a poisonous and explosive gas",
	"sulfite":  "sulfur dioxide, a poisonous gas",
	"fluoride": "hydrofluoric acid, which burns and poisons through the skin, and leaves as a gas",
}

// GasShare is the share of it from which that is said: of 3 mM of azide, the usual 0.02 %, so
// much is 30 µM. Our own choice.
const GasShare = 0.01

// Gas is the share of the gas that a reagent is at a pH, and which; 0 for what gives none off.
func Gas(r table.Reagent, ph float64, temp chem.Celsius) (share float64, gas string) {
	for _, p := range r.Parts {
		if p.System == nil || gases[p.System.Name] == "" {
			continue
		}
		// The next pK, of sulfite, is 5 units away.
		return 1 / (1 + math.Pow(10, ph-p.System.Steps[0].PKAt(temp))), gases[p.System.Name]
	}
	return 0, ""
}

// Last is what goes in last, once the pH is set.
type Last struct {
	Words string // which, and why
	Gas   bool   // acid makes a poisonous gas of it, whether a pH is set or not
}

// freshMove is how far what is Fresh may move the pH of the whole, as a part of the tolerance,
// and still go in once that is set: more is better titrated with the rest. Our own choice.
const freshMove = 0.5

// CanWait reports whether so much of a reagent leaves the pH of the demand as it is, when the
// whole of what it goes into has such a capacity, mol/L per pH.
func (d *Demand) CanWait(r table.Reagent, n chem.Amount, capacity float64) bool {
	q, err := d.Brings(r)
	return err == nil && math.Abs(q)*n.Moles()/(d.InUse().Litres()*capacity) < freshMove*d.Tolerance
}

// Waits says which of reagents go in last: what the table says so of; what air takes away, if it
// leaves the pH as it is; and what would leave as a poisonous gas at a lower pH on the way, but
// not at the end.
func Waits(list []table.Reagent, onTheWay, end float64, temp chem.Celsius, canWait func(table.Reagent) bool) (out []Last) {
	for _, r := range list {
		atEnd, gas := Gas(r, end, temp)
		if atEnd >= GasShare {
			continue // it has its share in the pH, whenever it goes in
		}
		switch share, _ := Gas(r, onTheWay, temp); {
		case r.Late != "":
			out = append(out, Last{fmt.Sprintf("%s: %s", r.Name, r.Late), gas != ""})
		case share >= GasShare:
			out = append(out, Last{fmt.Sprintf("%s: before, at pH %.1f, %s %% of it is %s", r.Name, onTheWay, chem.Digits(100*share, 2), gas), true})
		case r.Fresh != "" && canWait(r):
			out = append(out, Last{fmt.Sprintf("%s: %s", r.Name, r.Fresh), false})
		}
	}
	return out
}

// amountOf is how much of a reagent is in a solution, by the first system that it supplies.
func amountOf(s chem.Solution, r table.Reagent) chem.Amount {
	for _, p := range r.Parts {
		for _, t := range s.Systems {
			if p.System == t.System {
				return t.Amount / chem.Amount(p.Count)
			}
		}
	}
	return 0
}

// Condensing says which of reagents an aldehyde takes away.
func Condensing(list []table.Reagent) (out []string) {
	for _, r := range list {
		for _, p := range r.Parts {
			if p.System == nil {
				continue
			}
			if t, ok := table.TraitOf(p.System.Name, table.Aldehydes); ok && t.Grade == table.Yes {
				out = append(out, fmt.Sprintf("the aldehyde condenses with the primary amine of %s, which takes both away and sets acid free: phosphate, cacodylate, PIPES and HEPES do not (common practice, no source)", p.System.Name))
			}
		}
	}
	return out
}

// InAir says what the air does to reagents at a pH, while they are used: iron(II)
// becomes iron(III), which precipitates and leaves two protons for each; and what
// poisonous gas goes into it.
func InAir(list []table.Reagent, ph float64, temp chem.Celsius) (out []string) {
	for _, r := range list {
		if share, gas := Gas(r, ph, temp); share >= GasShare {
			out = append(out, fmt.Sprintf("%s: %s %% of it is %s, at pH %.1f: a higher pH or another substance; else the fume cupboard, the safety data sheet and the rules of your laboratory", r.Name, chem.Digits(100*share, 1), gas, ph))
		}
		for _, p := range r.Parts {
			if p.System == nil || p.System.Name != "iron(II)" {
				continue
			}
			oh := math.Pow(10, ph-thermo.WaterPK(temp.Kelvin()))
			if t := math.Ln2 / (oxidation * oxygen * oh * oh); t < anHour {
				out = append(out, fmt.Sprintf("%s: air oxidises half of it in %s at this pH, to rust, and frees two protons for each iron: keep air out, add it last, or choose a lower pH", r.Name, minutes(t)))
			}
		}
	}
	return out
}

func minutes(t float64) string {
	if t < 1 {
		return "a minute or less"
	}
	return "about " + chem.Digits(t, 1) + " min"
}
