package table

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/internal/csvrows"
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

// addComplexes gives every ligand its complexes, and refuses rows without a
// source.
func (t *systemTable) addComplexes(data []byte) error {
	return csvrows.Each(data, 13, "table: complexes", t.addComplex)
}

func (t *systemTable) addComplex(r []string) error {
	ligand := t.byKey[key(r[2])]
	if ligand == nil {
		return fmt.Errorf("no system %q", r[2])
	}
	if k := t.kinds[key(r[0])]; r[0] != "" && k != Metal && k != Neutral {
		return fmt.Errorf("no metal and no diol %q", r[0])
	}
	var n [4]int
	for k, at := range []int{1, 3, 4, 5} {
		if r[at] == "" && at == 5 {
			continue
		}
		var err error
		if n[k], err = strconv.Atoi(r[at]); err != nil {
			return err
		}
	}
	x := chem.Complex{Metal: r[0], Metals: n[0], Ligands: n[1], Protons: n[2], Water: n[3], Ion: r[6], Spread: complexSeen}
	var err error
	if x.LogB, err = strconv.ParseFloat(r[7], 64); err != nil {
		return err
	}
	if x.DH, _, err = optional(r[8]); err != nil {
		return err
	}
	switch by := Origin(r[10]); {
	case strings.TrimSpace(r[9]) == "" || by != Seen && by != Memory:
		return fmt.Errorf("no source, or not said whether seen or from memory")
	case by == Memory:
		x.Spread = complexMemory
	}
	if own, known, err := optional(r[12]); err != nil {
		return err
	} else if known {
		x.Spread = own
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
