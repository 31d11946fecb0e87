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

// InAir says what the air does to reagents at a pH, while they are used: iron(II)
// becomes iron(III), which precipitates and leaves two protons for each.
func InAir(list []table.Reagent, ph float64, temp chem.Celsius) (out []string) {
	for _, r := range list {
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
