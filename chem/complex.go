package chem

import (
	"fmt"
	"slices"

	"example.org/halfdrop/chem/pitzer"
	"example.org/halfdrop/chem/thermo"
)

// Complex is what metal ions, ligands and protons combine to, or several of
// one ligand by itself: M + L + H⁺ = MHL. It is listed with its ligand.
type Complex struct {
	Metal   string  // name of the system whose most protonated form is the metal ion; "" for none
	Metals  int     // how many of it
	Ligands int     // how many of the system it is listed with, in the least protonated form
	Protons int     // taken up; below zero for hydroxide complexes
	Water   int     // molecules of water given off
	LogB    float64 // overall constant at 25 °C and zero ionic strength, molal
	DH      float64 // its enthalpy, kJ/mol
	Ion     string  // in pitzer/data/ions.csv; "" is the class of its charge
	Spread  float64 // one standard deviation of LogB
}

// maxComplexes is how many one Model holds.
const maxComplexes = 64

// complexRow is a complex of a model.
type complexRow struct {
	lnB            float64
	ligand, metal  int8 // systems; metal −1 for none
	nL, nM         float64
	protons, water float64
	z              float64 // charge
	own            float64 // charge that counts as the ligand's: z without that of the metal ions
	ion            int8
	of             *Complex
	name           string
}

// complexCharge is the class of ions of a complex of a charge.
var complexCharge = map[int]string{3: "Fe3", 2: "complex2", 1: "complex1", -1: "complex-1", -2: "anion2", -3: "anion3", -4: "anion4", -5: "anion5"}

// complexes finds those that the systems of the model can form, and the ions
// that they are to the activity model.
func (m *Model) complexes(t *pitzer.Table) (ions []int, err error) {
	for i, s := range m.sys {
		for k := range s.Complexes {
			x := &s.Complexes[k]
			metal := -1
			if x.Metal != "" {
				if metal = m.Index(x.Metal); metal < 0 {
					continue
				}
			}
			z := x.Protons + x.Ligands*(s.Charge-len(s.Steps))
			row := complexRow{ligand: int8(i), metal: int8(metal), nL: float64(x.Ligands), nM: float64(x.Metals), protons: float64(x.Protons), water: float64(x.Water), of: x}
			row.own = float64(z)
			if metal >= 0 {
				z += x.Metals * m.sys[metal].Charge
			}
			row.z = float64(z)
			row.lnB = thermo.Law{PK: -x.LogB, DH: x.DH}.Ln(m.temp.Kelvin())
			name := x.Ion
			if name == "" {
				name = complexCharge[z]
			}
			row.ion = -1
			if name != "" {
				at, ok := t.ByName[name]
				if !ok || t.Rows[at].Charge != z {
					return nil, fmt.Errorf("chem: %s: a complex of charge %d is no ion %q", s.Name, z, name)
				}
				ions = append(ions, at)
				row.ion = int8(len(ions) - 1) // place in the list; turned into one of the model later
			}
			if len(m.cx) == maxComplexes {
				return nil, fmt.Errorf("chem: %w", ErrTooMany)
			}
			row.name = complexName(s, x, z)
			m.cx = append(m.cx, row)
			m.takes(i)
			if metal >= 0 {
				m.takes(metal)
			}
		}
	}
	return ions, nil
}

// takes notes that a system takes part in complexes.
func (m *Model) takes(i int) {
	if !slices.Contains(m.partners, uint8(i)) {
		m.partners = append(m.partners, uint8(i))
	}
}

// complexName is as in "magnesium EDTA(2-)"; an acid that has joined itself to an ion with a
// formula has that, "B3O3(OH)4-".
func complexName(s *System, x *Complex, z int) string {
	name := ""
	count := func(n int) string {
		if n > 1 {
			return fmt.Sprint(n, " ")
		}
		return ""
	}
	if x.Metal != "" {
		name = count(x.Metals) + x.Metal + " "
	}
	switch {
	case x.Metal == "" && x.Ion != "":
		name = x.Ion
	case x.Protons > 1:
		name += fmt.Sprintf("H%d ", x.Protons)
	case x.Protons == 1:
		name += "H "
	case x.Protons < 0:
		name += "OH "
	}
	if name == "" || name != x.Ion {
		name += count(x.Ligands) + s.Name
	}
	switch {
	case z == 0:
	case z == 1:
		name += "+"
	case z == -1:
		name += "-"
	case z > 0:
		name += fmt.Sprintf("(%d+)", z)
	default:
		name += fmt.Sprintf("(%d-)", -z)
	}
	return name
}
