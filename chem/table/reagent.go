package table

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/chem"
)

//go:embed data/reagents.csv
var reagentsCSV []byte

// Part is what one mole of a reagent supplies: moles of an acid–base system
// or of a spectator ion. Protons are not listed; they follow from the charges.
type Part struct {
	System *chem.System // nil for an ion
	Ion    chem.Ion
	Count  int
}

// Stock is a usual concentrate as sold.
type Stock struct {
	MassPercent float64 // g in 100 g
	Density     float64 // kg/L, near room temperature
	Molar       chem.Molarity
}

// Reagent is one substance in one form: hydrates and salts are reagents of
// their own.
type Reagent struct {
	Name      string // without the hydrate: "disodium phosphate"
	Synonyms  []string
	Formula   string // with the hydrate: "Na2HPO4·7H2O"
	Form      string // "anhydrous", "heptahydrate", "hydrochloride", "solution" …
	MolarMass chem.MolarMass
	Parts     []Part
	Stocks    []Stock
	Source    string
	By        Origin
}

// FullName is the name with its hydrate, which finds this reagent alone.
func (r Reagent) FullName() string {
	if strings.HasSuffix(r.Form, "hydrate") || r.Form == "anhydrous" {
		return r.Name + " " + r.Form
	}
	return r.Name
}

// Dissolved is what an amount of the reagent supplies, in no volume and no
// water: mix it into a solution. The water of a hydrate and the volume the
// solute takes up are left out.
func (r Reagent) Dissolved(n chem.Amount) chem.Solution {
	var s chem.Solution
	for _, p := range r.Parts {
		amount := chem.Amount(float64(n) * float64(p.Count))
		if p.System != nil {
			s.Systems = append(s.Systems, chem.SystemTotal{System: p.System, Amount: amount})
		} else {
			s.Ions = append(s.Ions, chem.IonTotal{Ion: p.Ion, Amount: amount})
		}
	}
	return s
}

// Solid reports whether a mass of the reagent can be weighed as it is. A
// reagent sold as a solution of varying strength cannot.
func (r Reagent) Solid() bool { return r.Form != "solution" }

var reagents = sync.OnceValues(func() (*index, error) { return readReagents(reagentsCSV) })

// Reagents are all reagents in the order of the table.
func Reagents() []Reagent {
	t, err := reagents()
	if err != nil {
		return nil
	}
	return append([]Reagent(nil), t.all...)
}

func readReagents(data []byte) (*index, error) {
	rows, err := records(data, 8)
	if err != nil {
		return nil, fmt.Errorf("table: reagents: %w", err)
	}
	t := newIndex()
	for i, rec := range rows {
		r, err := parseReagent(rec)
		if err != nil {
			return nil, fmt.Errorf("table: reagents, line %d: %w", i+2, err)
		}
		t.add(r)
	}
	return t, nil
}

func parseReagent(rec []string) (Reagent, error) {
	r := Reagent{Name: rec[0], Formula: rec[2], Form: rec[3], Source: rec[6], By: Origin(rec[7])}
	if r.Name == "" || strings.TrimSpace(r.Source) == "" || (r.By != Seen && r.By != Memory) {
		return r, fmt.Errorf("%s: no name, no source, or not said whether seen or from memory", r.Name)
	}
	if rec[1] != "" {
		r.Synonyms = strings.Split(rec[1], "|")
	}
	var err error
	if r.MolarMass, err = molarMass(r.Formula); err != nil {
		return r, err
	}
	if r.Parts, err = parseParts(rec[4]); err != nil {
		return r, fmt.Errorf("%s: %w", r.Name, err)
	}
	r.Stocks, err = parseStocks(rec[5])
	return r, err
}

// parseParts reads "phosphate 1 & Na+ 2": an ion ends in its charge.
func parseParts(s string) ([]Part, error) {
	var out []Part
	for item := range strings.SplitSeq(s, " & ") {
		i := strings.LastIndexByte(item, ' ')
		if i < 0 {
			return nil, fmt.Errorf("supplies %q", s)
		}
		n, err := strconv.Atoi(item[i+1:])
		if err != nil || n < 1 {
			return nil, fmt.Errorf("supplies %q: a count above zero is wanted", s)
		}
		name := item[:i]
		if ion, ok := parseIon(name); ok {
			out = append(out, Part{Ion: ion, Count: n})
			continue
		}
		sys, err := System(name)
		if err != nil {
			return nil, err
		}
		out = append(out, Part{System: sys, Count: n})
	}
	return out, nil
}

// parseIon reads "Na+", "ClO4-": strong ions of one charge. Others are systems.
func parseIon(s string) (chem.Ion, bool) {
	sign := 1
	switch s[len(s)-1] {
	case '-':
		sign = -1
	case '+':
	default:
		return chem.Ion{}, false
	}
	return chem.Ion{Name: s, Charge: sign}, true
}

// parseStocks reads "37%@1.19=12.1|36%@1.176=11.6".
func parseStocks(s string) ([]Stock, error) {
	if s == "" {
		return nil, nil
	}
	var out []Stock
	for item := range strings.SplitSeq(s, "|") {
		var st Stock
		var molar float64
		if _, err := fmt.Sscanf(item, "%f%%@%f=%f", &st.MassPercent, &st.Density, &molar); err != nil {
			return nil, fmt.Errorf("stock %q: %w", item, err)
		}
		st.Molar = chem.Molarity(molar)
		out = append(out, st)
	}
	return out, nil
}
