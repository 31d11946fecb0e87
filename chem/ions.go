package chem

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/chem/internal/csvrows"
)

//go:embed data/ions.csv
var ionsCSV string

// ion is a row of the table of ions: what the activity model knows by name.
type ion struct {
	name   string
	charge int
	like   int // row whose parameters stand in for missing ones; −1 for none
	slot   int // place in Composition.Ions; −1 where it is no strong ion
	// disputed is by how much published parameters differ: one standard
	// deviation of log10 γ per mol/kg of ionic strength, or, where it is flat,
	// from flatFrom on.
	disputed float64
	flat     bool
}

// ionTable are all ions with their places by name.
type ionTable struct {
	rows   []ion
	byName map[string]int
	strong []int // rows of the strong ions, in the order of Composition.Ions
}

var ions = sync.OnceValue(func() *ionTable {
	t, err := readIons(ionsCSV)
	if err != nil {
		panic(err) // the table is part of the program, and a test reads it
	}
	return t
})

// readIons reads the table of ions.
func readIons(text string) (*ionTable, error) {
	rows, err := csvrows.Read(text, 7)
	if err != nil {
		return nil, fmt.Errorf("chem: ions: %w", err)
	}
	t := &ionTable{byName: map[string]int{}}
	for i, r := range rows {
		z, err := strconv.Atoi(r[1])
		if err != nil || r[0] == "" || r[4] == "" {
			return nil, fmt.Errorf("chem: ions, line %d: needs a name, a charge and a source", i+2)
		}
		x := ion{name: r[0], charge: z, like: -1, slot: -1}
		if r[6] != "" {
			var text string
			text, x.flat = strings.CutSuffix(r[6], " flat")
			if x.disputed, err = strconv.ParseFloat(text, 64); err != nil {
				return nil, fmt.Errorf("chem: ions, line %d: %w", i+2, err)
			}
		}
		if r[3] != "" {
			x.slot = len(t.strong)
			t.strong = append(t.strong, i)
		}
		t.byName[x.name] = i
		t.rows = append(t.rows, x)
	}
	if len(t.strong) > MaxIons {
		return nil, fmt.Errorf("chem: ions: %d strong ions, at most %d", len(t.strong), MaxIons)
	}
	for i, r := range rows {
		if r[2] == "" {
			continue
		}
		like, ok := t.byName[r[2]]
		if !ok || sign(t.rows[like].charge) != sign(t.rows[i].charge) {
			return nil, fmt.Errorf("chem: ions, line %d: no ion %q of that sign to be like", i+2, r[2])
		}
		t.rows[i].like = like
	}
	return t, nil
}

// rank orders ions by how much they keep what they are where a pair stands in
// for another: forms of buffers, then strong ions, then H⁺ and OH⁻, of which the
// most pairs are known; among equals anions first.
func (t *ionTable) rank(i int) int {
	x, out := &t.rows[i], 4
	switch {
	case x.name == "H" || x.name == "OH":
		out = 0
	case x.slot >= 0:
		out = 2
	}
	if x.charge < 0 {
		out++
	}
	return out
}

// slotOf is the place in Composition.Ions of a strong ion of one charge: its
// own, or that of any other cation or anion. It is false for ions of more charges.
func slotOf(x Ion) (slot int, ok bool) {
	t := ions()
	if i, known := t.byName[strings.TrimRight(x.Name, "+-")]; known && t.rows[i].slot >= 0 && t.rows[i].charge == x.Charge {
		return t.rows[i].slot, true
	}
	name := ""
	switch x.Charge {
	case 1:
		name = "cation"
	case -1:
		name = "anion"
	default:
		return 0, false
	}
	return t.rows[t.byName[name]].slot, true
}

func sign(z int) int {
	switch {
	case z > 0:
		return 1
	case z < 0:
		return -1
	}
	return 0
}
