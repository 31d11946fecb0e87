package table

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
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

// fresh begins the reason in the last column of what is Fresh.
const fresh = "fresh: "

// inert is the part of a reagent that is no acid, base or ion: it takes room.
const inert = "inert"

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
	Parts     []Part      // none: no acid, base or ion
	Room      chem.Volume // that a mole without parts takes up
	Stocks    []Stock
	Caution   string // what the pure substance does; "" where nothing is known
	Note      string // what to know at the bench
	Source    string
	By        Origin
	Late      string // why it goes in only when the pH is set; "" for what may go in before
	Fresh     string // why it goes in as late as may be, where that leaves the pH as it is; "" for what keeps

	only bool // no other form of the name is on the list
}

// Definite reports whether the reagent has a molar mass. A mixture of molecules
// of several lengths has none: its amounts are in grams, one to a "mole".
func (r Reagent) Definite() bool { return r.Formula != "" }

// Inert reports whether it is no acid, base or ion and binds none: it takes
// room and changes the solvent.
func (r Reagent) Inert() bool { return len(r.Parts) == 0 }

// CrystalWater is how much water one mole brings along.
func (r Reagent) CrystalWater() float64 {
	_, water, ok := strings.Cut(r.Formula, "·")
	if !ok {
		return 0
	}
	n, found := strings.CutSuffix(water, "H2O")
	if !found {
		return 0
	}
	x, err := strconv.ParseFloat(n, 64)
	if err != nil {
		return 1 // "·H2O"
	}
	return x
}

// FullName is the name with its hydrate, which finds this reagent alone. What has no hydrate is
// not called anhydrous: nobody says so of boric acid.
func (r Reagent) FullName() string {
	if strings.HasSuffix(r.Form, "hydrate") || r.Form == "anhydrous" && !r.only {
		return r.Name + " " + r.Form
	}
	return r.Name
}

// Dissolved is what an amount of the reagent supplies, in no volume and no
// water: mix it into a solution. The water of a hydrate is left out.
func (r Reagent) Dissolved(n chem.Amount) chem.Solution {
	s := chem.Solution{Room: chem.Volume(float64(n) * float64(r.Room))}
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

var reagents = csvrows.Once(func() (*index, error) { return loadReagents(namesCSV, reagentsCSV) })

// loadReagents reads the reagents, and the short names that lead to them: where those
// cannot be read, nothing is found, with an error that says why. A name that is looked
// for without them is another reagent, or none.
func loadReagents(names, list []byte) (*index, error) {
	if _, err := readNames(names); err != nil {
		return nil, err
	}
	return readReagents(list)
}

// Reagents are all reagents in the order of the table.
func Reagents() []Reagent { return slices.Clone(reagents().all) }

func readReagents(data []byte) (*index, error) {
	t := &index{byKey: make(map[string][]int, 1<<13)}
	err := csvrows.Each(data, 12, "table: reagents", func(rec []string) error {
		r, err := parseReagent(rec)
		if err != nil {
			return err
		}
		t.add(r)
		return nil
	})
	forms := map[string]int{}
	for _, r := range t.all {
		forms[r.Name]++
	}
	for i, r := range t.all {
		t.all[i].only = forms[r.Name] == 1
	}
	return t, err
}

func parseReagent(rec []string) (Reagent, error) {
	r := Reagent{Name: rec[0], Formula: rec[2], Form: rec[3], Caution: rec[7], Note: rec[8], Source: rec[9], By: Origin(rec[10])}
	if why, ok := strings.CutPrefix(rec[11], fresh); ok {
		r.Fresh = why
	} else {
		r.Late = rec[11]
	}
	if r.Name == "" || strings.TrimSpace(r.Source) == "" || (r.By != Seen && r.By != Memory) {
		return r, fmt.Errorf("%s: no name, no source, or not said whether seen or from memory", r.Name)
	}
	if rec[1] != "" {
		r.Synonyms = strings.Split(rec[1], "|")
	}
	var err error
	r.MolarMass = 1
	if r.Definite() {
		if r.MolarMass, err = molarMass(r.Formula); err != nil {
			return r, err
		}
	}
	if rec[4] == inert+" 1" {
		ml, err := strconv.ParseFloat(rec[6], 64)
		if err != nil || ml <= 0 {
			return r, fmt.Errorf("%s: an inert solute needs mL per mole, or per gram", r.Name)
		}
		r.Room = chem.Volume(ml) * chem.Millilitre
	} else if r.Parts, err = parseParts(rec[4]); err != nil {
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
			return nil, fmt.Errorf("supplies %q: the count must be above zero", s)
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
