package pitzer

import (
	"cmp"
	_ "embed"
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/csvrows"
)

//go:embed data/ions.csv
var ionsCSV string

// MaxIons is how many strong ions are known by name.
const MaxIons = 13

// Ion is a row of the table of ions: what the activity model knows by name.
type Ion struct {
	Name   string
	Charge int
	like   int // row whose parameters stand in for missing ones; −1 for none
	Slot   int // place among the strong ions; −1 where it is none
	// Disputed is by how much published parameters differ: one standard
	// deviation of log10 γ per mol/kg of ionic strength, or, where it is flat,
	// from a tenth of a mol/kg on.
	Disputed float64
	Flat     bool
}

// Table are all ions with their rows by name.
type Table struct {
	Rows   []Ion
	ByName map[string]int
	strong []int // rows of the strong ions
}

// Ions is the table of all ions; it must not be changed.
var Ions = csvrows.Once(func() (*Table, error) { return readIons(ionsCSV) })

// readIons reads the table of ions.
func readIons(text string) (*Table, error) {
	rows, err := csvrows.Read(text, 7)
	if err != nil {
		return nil, fmt.Errorf("chem: ions: %w", err)
	}
	t := &Table{ByName: map[string]int{}}
	for i, r := range rows {
		z, err := strconv.Atoi(r[1])
		if err != nil || r[0] == "" || r[4] == "" {
			return nil, fmt.Errorf("chem: ions, line %d: needs a name, a charge and a source", i+2)
		}
		x := Ion{Name: r[0], Charge: z, like: -1, Slot: -1}
		if r[6] != "" {
			var text string
			text, x.Flat = strings.CutSuffix(r[6], " flat")
			if x.Disputed, err = strconv.ParseFloat(text, 64); err != nil {
				return nil, fmt.Errorf("chem: ions, line %d: %w", i+2, err)
			}
		}
		if r[3] != "" {
			x.Slot = len(t.strong)
			t.strong = append(t.strong, i)
		}
		t.ByName[x.Name] = i
		t.Rows = append(t.Rows, x)
	}
	if len(t.strong) > MaxIons {
		return nil, fmt.Errorf("chem: ions: %d strong ions, at most %d", len(t.strong), MaxIons)
	}
	for i, r := range rows {
		if r[2] == "" {
			continue
		}
		like, ok := t.ByName[r[2]]
		if !ok || cmp.Compare(t.Rows[like].Charge, 0) != cmp.Compare(t.Rows[i].Charge, 0) {
			return nil, fmt.Errorf("chem: ions, line %d: no ion %q of that sign to be like", i+2, r[2])
		}
		t.Rows[i].like = like
	}
	return t, nil
}

// rank orders ions by how much they keep what they are where a pair stands in
// for another: forms of buffers, then strong ions, then H⁺ and OH⁻, of which the
// most pairs are known; among equals anions first.
func (t *Table) rank(i int) int {
	x, out := &t.Rows[i], 4
	switch {
	case x.Name == "H" || x.Name == "OH":
		out = 0
	case x.Slot >= 0:
		out = 2
	}
	if x.Charge < 0 {
		out++
	}
	return out
}
