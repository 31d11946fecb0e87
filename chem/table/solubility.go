package table

import (
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
	"example.org/halfdrop/chem/solved"
)

//go:embed data/solubility.csv
var solubilityCSV []byte

// solubleMargin is how far above the tabulated solubility a mixture may be:
// much of the table is from memory, and it knows no common ions.
const solubleMargin = 1.1

// SolubilityError says that a mixture holds more of a reagent than dissolves.
type SolubilityError struct {
	Reagent     string
	Temp        chem.Celsius
	Have, Limit float64 // mol/kg of the reagent's own form
}

// Error gives both molalities and what to try.
func (e *SolubilityError) Error() string {
	return fmt.Sprintf("table: %s: %.3g mol per kg of water at %g °C, but only about %.3g dissolves; take less or a larger volume",
		e.Reagent, e.Have, float64(e.Temp), e.Limit)
}

// dissolved is a point of a solubility curve: mol/kg at a temperature, °C.
type dissolved struct{ at, molal float64 }

var solubilities = csvrows.Once(func() (map[string][]dissolved, error) { return readSolubilities(solubilityCSV) })

// readSolubilities reads the table: formulas without their water.
func readSolubilities(data []byte) (map[string][]dissolved, error) {
	out := map[string][]dissolved{}
	err := csvrows.Each(data, 6, "table: solubilities", func(r []string) error {
		p, err := parseSolubility(r)
		if err != nil {
			return err
		}
		out[r[0]] = append(out[r[0]], p)
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, list := range out {
		slices.SortFunc(list, func(a, b dissolved) int { return cmp.Compare(a.at, b.at) })
	}
	return out, nil
}

// roomPerGram is about the volume that a dissolved gram takes up, mL.
const roomPerGram = 0.72

func parseSolubility(r []string) (p dissolved, err error) {
	mm, err := molarMass(r[0])
	if err != nil {
		return p, err
	}
	var n csvrows.Numbers
	v := n.Number(r[2])
	if p.at = n.Number(r[1]); n.Err != nil {
		return p, n.Err
	}
	if by := Origin(r[5]); r[4] == "" || by != Seen && by != Memory || v <= 0 {
		return p, fmt.Errorf("needs a number above zero, a source, and seen or memory")
	}
	switch r[3] {
	case "g/100g":
		p.molal = 10 * v / float64(mm)
	case "g/L":
		v /= float64(mm)
		fallthrough
	case "mol/L":
		p.molal = v / (1 - roomPerGram*1e-3*float64(mm)*v)
	default:
		return p, fmt.Errorf("unit %q: must be g/100g, g/L or mol/L", r[3])
	}
	if !(p.molal > 0) {
		return p, fmt.Errorf("%g %s of %s leaves no water", v, r[3], r[0])
	}
	return p, nil
}

// perDegree is how much more dissolves, per °C, of what is known at one
// temperature only (a choice of this project: most of the zwitterions in the
// table are known at 0 °C, and do better).
const perDegree = 0.015

// Solubility is about how much of the reagent dissolves in water at t, in
// mol/kg, by straight lines in the logarithm; false where the table has none.
func (r Reagent) Solubility(t chem.Celsius) (float64, bool) {
	bare, _, _ := strings.Cut(r.Formula, "·")
	p := solubilities()[bare]
	x := float64(t)
	switch n := len(p); {
	case n == 0:
		return 0, false
	case n == 1:
		return p[0].molal * math.Exp(perDegree*(x-p[0].at)), true
	default:
		i := 0
		for i < n-2 && x > p[i+1].at {
			i++
		}
		f := (x - p[i].at) / (p[i+1].at - p[i].at)
		return p[i].molal * math.Pow(p[i+1].molal/p[i].molal, f), true
	}
}

// CheckDissolved refuses a solved mixture that holds more of one of the
// reagents, in the form in which it is sold, than dissolves: boric acid counts
// by its neutral form, so that an alkaline solution may hold more boron.
func CheckDissolved(list []Reagent, s chem.Solution, r *solved.Result) error {
	for _, x := range list {
		limit, ok := x.Solubility(s.Temp)
		if !ok {
			continue
		}
		if have := x.present(s, r); have > solubleMargin*limit {
			return &SolubilityError{Reagent: x.Name, Temp: s.Temp, Have: have, Limit: limit}
		}
	}
	return nil
}

// present is the molality of the reagent's own form: that of its scarcest part.
func (r Reagent) present(s chem.Solution, res *solved.Result) float64 {
	kg := s.WaterMass().Kilograms()
	if r.Inert() {
		return s.Room.Litres() / r.Room.Litres() / kg
	}
	have := r.presentInWater(s, res)
	// What is neutral and takes up room dissolves things too: 10 % of SDS in half
	// glycerol is a usual stock. A choice of this project: by volume, as water does.
	for _, f := range res.Flags {
		if f.Doubt == solved.OtherSolvent {
			have *= 1 - f.Size
		}
	}
	return have
}

// presentInWater is present per kilogram of water alone.
func (r Reagent) presentInWater(s chem.Solution, res *solved.Result) float64 {
	kg := s.WaterMass().Kilograms()
	least, charge := math.Inf(1), 0
	var systems []Part
	for _, p := range r.Parts {
		if p.System != nil {
			systems = append(systems, p)
			continue
		}
		charge += p.Ion.Charge * p.Count
		for _, t := range s.Ions {
			if t.Ion == p.Ion {
				least = min(least, t.Amount.Moles()/kg/float64(p.Count))
			}
		}
	}
	if len(systems) == 0 && charge > 0 {
		return min(least, molality(res, "water", -1)/float64(charge)) // a hydroxide
	}
	// Cations come as what holds the most protons, ammonium and metal ions; the
	// last system carries what charge is left.
	slices.SortStableFunc(systems, func(a, b Part) int { return b.System.Charge - a.System.Charge })
	for i, p := range systems {
		z := p.System.Charge
		if i == len(systems)-1 {
			if charge%p.Count != 0 {
				return 0 // borax and the like: a form of its own, which the salts that come out know
			}
			z = -charge / p.Count
		}
		charge += z * p.Count
		have := molality(res, p.System.Name, z)
		if z == 0 && len(r.Parts) == 1 && KindOf(p.System.Name) == Metal && p.System.Charge > 0 {
			// The hydroxide of a metal ion: of its ions, not of the pair that
			// they are in the table of forms, or not even that.
			have = min(molality(res, p.System.Name, p.System.Charge), molality(res, "water", -1)/float64(p.System.Charge))
		}
		if z == p.System.Charge+1 {
			// An acid whose first proton is strong: what is dissolved of it is
			// H⁺ and the form that is listed first, so that their product counts.
			have = math.Sqrt(molality(res, "water", 1) * molality(res, p.System.Name, z-1))
		}
		least = min(least, have/float64(p.Count))
	}
	return least
}

// molality is that of a form of a system; without end where there is no such form.
func molality(r *solved.Result, system string, charge int) float64 {
	for _, sp := range r.Species {
		if sp.System == system && sp.Charge == charge && sp.Complex == nil {
			return sp.Molality
		}
	}
	return math.Inf(1)
}

//go:embed data/heats.csv
var heatsCSV []byte

var heats = csvrows.Once(func() (map[string]float64, error) { return readHeats(heatsCSV) })

func readHeats(data []byte) (map[string]float64, error) {
	out := map[string]float64{}
	err := csvrows.Each(data, 4, "table: heats", func(r []string) error {
		v, err := strconv.ParseFloat(r[1], 64)
		if by := Origin(r[3]); err != nil || r[0] == "" || strings.TrimSpace(r[2]) == "" || by != Seen && by != Memory {
			return errors.New("needs a formula, a number and a source")
		}
		out[r[0]] = v
		return nil
	})
	return out, err
}

// Heat is the enthalpy of dissolving the reagent in much water, kJ/mol, below
// zero where it gets warm: of the solid with its water of crystallisation, or
// of diluting the concentrate as sold. False where it is not known.
func (r Reagent) Heat() (float64, bool) {
	v, ok := heats()[r.Formula]
	return v, ok
}

// StaysDissolved is why so much of a reagent does not stay dissolved in a litre at 25 °C; nil where
// it does, and where nothing is known.
func StaysDissolved(r Reagent, n chem.Amount) error {
	s := r.Dissolved(n).At(25).MadeUpTo(chem.Litre)
	res, err := solved.Describe(s)
	if err != nil {
		return nil //nolint:nilerr // a salt by itself may have no pH, and dissolve
	}
	return CheckDissolved([]Reagent{r}, s, res)
}
