package table

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
)

// atomicWeights are the abridged standard atomic weights of IUPAC (2021),
// from memory; with them the 279 molar masses of two lists computed elsewhere
// from the same weights come out to their last digit.
var atomicWeights = map[string]float64{
	"H": 1.0080, "Li": 6.94, "B": 10.81, "C": 12.011, "N": 14.007, "O": 15.999, "F": 18.998,
	"Na": 22.990, "Mg": 24.305, "P": 30.974, "S": 32.06, "Cl": 35.45,
	"K": 39.098, "Ca": 40.078, "V": 50.942, "Mn": 54.938, "Fe": 55.845, "Co": 58.933, "Ni": 58.693, "Cu": 63.546, "Zn": 65.38,
	"As": 74.922, "Br": 79.904, "Rb": 85.468, "Cd": 112.41, "I": 126.90, "Cs": 132.91, "Ba": 137.33,
}

// Atoms counts the atoms of a formula, water of crystallisation included:
// "Na2HPO4·7H2O", "(NH4)2SO4", "Ca(OH)2". The parts of a hydrate are set
// apart by a middle dot.
func Atoms(formula string) (map[string]float64, error) {
	total := map[string]float64{}
	for part := range strings.SplitSeq(formula, "·") {
		n := strings.IndexFunc(part, func(r rune) bool { return r != '.' && (r < '0' || r > '9') })
		if n < 0 {
			return nil, fmt.Errorf("table: formula %q: empty part", formula)
		}
		times := 1.0
		if n > 0 {
			var err error
			if times, err = strconv.ParseFloat(part[:n], 64); err != nil {
				return nil, fmt.Errorf("table: formula %q: %w", formula, err)
			}
		}
		rest, err := group(part[n:], times, total)
		if err != nil {
			return nil, fmt.Errorf("table: formula %q: %w", formula, err)
		}
		if rest != "" {
			return nil, fmt.Errorf("table: formula %q: stray %q", formula, rest)
		}
	}
	return total, nil
}

// group adds the atoms of s up to its end or a closing bracket to total.
func group(s string, times float64, total map[string]float64) (rest string, err error) {
	for s != "" && s[0] != ')' {
		if s[0] == '(' {
			inner := map[string]float64{}
			if s, err = group(s[1:], 1, inner); err != nil {
				return s, err
			}
			if s == "" {
				return s, fmt.Errorf("bracket left open")
			}
			var n int
			n, s = leadingCount(s[1:])
			for el, k := range inner {
				total[el] += k * float64(n) * times
			}
			continue
		}
		el := s[:1]
		if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' {
			el = s[:2]
		}
		if _, ok := atomicWeights[el]; !ok {
			return s, fmt.Errorf("no element %q", el)
		}
		var n int
		n, s = leadingCount(s[len(el):])
		total[el] += float64(n) * times
	}
	return s, nil
}

func leadingCount(s string) (int, string) {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	if i == 0 {
		return 1, s
	}
	n, _ := strconv.Atoi(s[:i])
	return n, s[i:]
}

// molarMass is the molar mass of a formula from the standard atomic weights.
func molarMass(formula string) (chem.MolarMass, error) {
	atoms, err := Atoms(formula)
	if err != nil {
		return 0, err
	}
	m := 0.0
	for _, el := range slices.Sorted(maps.Keys(atoms)) { // in order: the last digit would differ from run to run
		m += atoms[el] * atomicWeights[el]
	}
	return chem.MolarMass(m), nil
}

// DryMass is the molar mass of a reagent without its water of crystallisation.
func DryMass(r Reagent) chem.MolarMass {
	bare, _, _ := strings.Cut(r.Formula, "·")
	m, err := molarMass(bare)
	if err != nil {
		return r.MolarMass
	}
	return m
}
