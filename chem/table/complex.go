package table

import (
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
)

//go:embed data/complexes.csv
var complexesCSV []byte

// The spreads of the constants of complexes, one standard deviation of log β:
// our own grading; a row may give its own, as
// the polyborates do, of which two published sets differ by 0.5. Two sets of
// constants of EDTA differ by 0.27, and so do their last protons: what a metal ion
// takes from H(EDTA)3− is the same in both.
const (
	complexSeen   = 0.1
	complexMemory = 0.2
)

func (t *systemTable) addComplex(r []string) error {
	ligand := t.byKey[key(r[2])]
	if ligand == nil {
		return fmt.Errorf("no system %q", r[2])
	}
	if k := t.kinds[key(r[0])]; r[0] != "" && k != Metal && k != Neutral {
		return fmt.Errorf("no metal and no diol %q", r[0])
	}
	var n csvrows.Numbers
	water, _ := n.Maybe(r[5])
	x := chem.Complex{Metal: r[0], Metals: n.Whole(r[1]), Ligands: n.Whole(r[3]), Protons: n.Whole(r[4]), Water: int(water), Ion: r[6], LogB: n.Number(r[7]), Spread: complexSeen}
	x.DH, _ = n.Maybe(r[8])
	switch by := Origin(r[10]); {
	case strings.TrimSpace(r[9]) == "" || by != Seen && by != Memory:
		return fmt.Errorf("no source, or not said whether seen or from memory")
	case by == Memory:
		x.Spread = complexMemory
	}
	if own, known := n.Maybe(r[12]); known {
		x.Spread = own
	}
	if n.Err != nil {
		return n.Err
	}
	if x.Ligands < 1 || (x.Metal == "") != (x.Metals == 0) {
		return fmt.Errorf("%d of %q and %d of %s make no complex", x.Metals, x.Metal, x.Ligands, ligand.Name)
	}
	if slices.ContainsFunc(ligand.Complexes, func(o chem.Complex) bool {
		return o.Metal == x.Metal && o.Metals == x.Metals && o.Ligands == x.Ligands && o.Protons == x.Protons
	}) {
		return fmt.Errorf("given twice")
	}
	ligand.Complexes = append(ligand.Complexes, x)
	return nil
}

//go:embed data/missing.csv
var missingCSV []byte

// addMissing gives every system what it is known to do and cannot be computed,
// and refuses rows without a source.
func (t *systemTable) addMissing(data []byte) error {
	return csvrows.Each(data, 7, "table: missing", func(r []string) error {
		s := t.byKey[key(r[0])]
		if s == nil || r[1] != "" && t.byKey[key(r[1])] == nil {
			return fmt.Errorf("no system %q or %q", r[0], r[1])
		}
		var n csvrows.Numbers
		x := chem.Missing{With: r[1], Spread: n.Number(r[2]), Half: n.Number(r[3]), Words: r[4]}
		if by := Origin(r[6]); n.Err != nil || strings.TrimSpace(r[4]) == "" || strings.TrimSpace(r[5]) == "" || by != Seen && by != Memory {
			return errors.New("needs two numbers, words and a source")
		}
		s.Missing = append(s.Missing, x)
		return nil
	})
}
