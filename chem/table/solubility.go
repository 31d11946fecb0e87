package table

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/chem"
)

//go:embed data/solubility.csv
var solubilityCSV []byte

// solubleMargin is how far above the tabulated solubility a mixture may be:
// the table is from memory and knows no common ions.
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

type solubility struct{ at20, at60 float64 } // g of the anhydrous formula per 100 g of water

var solubilities = sync.OnceValues(func() (map[string]solubility, error) { return readSolubilities(solubilityCSV) })

func readSolubilities(data []byte) (map[string]solubility, error) {
	rows, err := records(data, 5)
	if err != nil {
		return nil, fmt.Errorf("table: solubilities: %w", err)
	}
	out := map[string]solubility{}
	for i, r := range rows {
		a, errA := strconv.ParseFloat(r[1], 64)
		b, errB := strconv.ParseFloat(r[2], 64)
		if errA != nil || errB != nil || r[3] == "" || (Origin(r[4]) != Seen && Origin(r[4]) != Memory) {
			return nil, fmt.Errorf("table: solubilities, line %d: two numbers, a source, and seen or memory are wanted", i+2)
		}
		out[r[0]] = solubility{a, b}
	}
	return out, nil
}

// Solubility is about how much of the reagent dissolves in water at t, in
// mol/kg, by a straight line in the logarithm through 20 and 60 °C; false
// where the table has none.
func (r Reagent) Solubility(t chem.Celsius) (float64, bool) {
	list, err := solubilities()
	if err != nil {
		return 0, false
	}
	bare, _, _ := strings.Cut(r.Formula, "·")
	s, ok := list[bare]
	if !ok {
		return 0, false
	}
	mm, err := molarMass(bare)
	if err != nil {
		return 0, false
	}
	grams := s.at20 * math.Pow(s.at60/s.at20, (float64(t)-20)/40)
	return 10 * grams / float64(mm), true
}

// CheckDissolved refuses a solved mixture that holds more of one of the
// reagents, in the form in which it is sold, than dissolves: boric acid counts
// by its neutral form, so that an alkaline solution may hold more boron.
func CheckDissolved(list []Reagent, s chem.Solution, r *chem.Result) error {
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
func (r Reagent) present(s chem.Solution, res *chem.Result) float64 {
	kg := s.WaterMass().Kilograms()
	least, charge, units := math.Inf(1), 0, 0
	var system string
	for _, p := range r.Parts {
		if p.System != nil {
			system, units = p.System.Name, units+p.Count
			continue
		}
		charge += p.Ion.Charge * p.Count
		for _, t := range s.Ions {
			if t.Ion == p.Ion {
				least = min(least, t.Amount.Moles()/kg/float64(p.Count))
			}
		}
	}
	switch {
	case units == 0 && charge > 0:
		return min(least, molality(res, "water", -1)/float64(charge)) // a hydroxide
	case units == 1:
		return min(least, molality(res, system, -charge))
	}
	return least
}

func molality(r *chem.Result, system string, charge int) float64 {
	for _, sp := range r.Species {
		if sp.System == system && sp.Charge == charge {
			return sp.Molality
		}
	}
	return math.Inf(1)
}
