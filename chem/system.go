package chem

import (
	"fmt"

	"example.org/halfdrop/chem/pitzer"
	"example.org/halfdrop/chem/thermo"
)

// Step is the loss of one proton: HA(z) = H⁺ + A(z−1).
type Step struct {
	PK  float64 // thermodynamic pK at 25 °C and zero ionic strength, molal scale
	DH  float64 // standard enthalpy of ionization at 25 °C, kJ/mol
	DCp float64 // standard heat capacity of ionization, J/(mol K)
	// Spread is one standard deviation of PK, from how far independent
	// publications agree; 0 takes the default of the table.
	Spread      float64
	SlopeSpread float64 // one standard deviation of DH, kJ/mol; it matters away from 25 °C
	Unverified  bool    // marks a PK that no second publication confirms
	// Water marks a step that takes up a molecule of water, as that of boric
	// acid and those of aqua ions do: its constant holds the activity of water.
	Water bool
	// Law, when set, replaces PK, DH and DCp: the coefficients a..e of
	// log10 K = a + bT + c/T + d log10 T + e/T², with T in kelvin.
	Law *[5]float64
}

// Moved is the step with its pK raised by d at every temperature.
func (s Step) Moved(d float64) Step {
	s.PK += d
	if s.Law != nil {
		law := *s.Law
		law[0] -= d
		s.Law = &law
	}
	return s
}

// PKAt is the pK of the step at t and zero ionic strength: from ΔG = ΔH − TΔS
// with a constant ΔCp, or from the step's own Law. It is meant for 0–60 °C.
func (s Step) PKAt(t Celsius) float64 {
	return thermo.Law{PK: s.PK, DH: s.DH, DCp: s.DCp, Fit: s.Law}.At(t.Kelvin())
}

// System is an acid–base system: one substance in all its states of protonation.
type System struct {
	Name   string
	Charge int    // charge number of the most protonated form listed
	Steps  []Step // in the order in which protons are lost
	// Forms name the states of protonation, one more than there are steps;
	// without them a form has the coefficient of its charge.
	Forms      []Form
	Complexes  []Complex // that it forms as a ligand
	Missing    []Missing // what it is known to do beside that
	Unverified bool      // it has a step that no second publication confirms
}

// Missing is chemistry that is known to be there and cannot be computed.
type Missing struct {
	With   string  // the other system; "" for any mixture
	Spread float64 // one standard deviation of the pH where there is plenty of both
	Half   float64 // molality of the scarcer one at which half of that is there
	Words  string
}

// Form is one state of protonation of a system.
type Form struct {
	Name string // as people write it: "H2PO4-"
	// Ion is what the form is to the activity model, a row of pitzer/data/ions.csv:
	// an ion with parameters of its own, or a class. Empty is a coefficient of 1.
	Ion string
	// Volume is the partial molar volume at infinite dilution, mL/mol, where
	// that of H⁺ is zero.
	Volume float64
}

// byCharge are the classes of forms that are not named.
var byCharge = map[int]string{4: "tetraammonium", 3: "triammonium", 2: "diammonium", 1: "ammonium", -1: "carboxylate", -2: "anion2", -3: "anion3", -4: "anion4", -5: "anion5"}

// ionOf is the row of the table of ions of the form that has lost j protons;
// −1 is a coefficient of 1.
func (s *System) ionOf(j int, t *pitzer.Table) (int, error) {
	z := s.Charge - j
	name := byCharge[z]
	if len(s.Forms) > 0 {
		if len(s.Forms) != len(s.Steps)+1 {
			return 0, fmt.Errorf("chem: %s: %d forms for %d steps", s.Name, len(s.Forms), len(s.Steps))
		}
		name = s.Forms[j].Ion
	}
	if name == "" {
		if z != 0 {
			return 0, fmt.Errorf("chem: %s: the form of charge %d is no ion that is known", s.Name, z)
		}
		return -1, nil
	}
	row, ok := t.ByName[name]
	if !ok || t.Rows[row].Charge != z {
		return 0, fmt.Errorf("chem: %s: no ion %q of charge %d", s.Name, name, z)
	}
	return row, nil
}
