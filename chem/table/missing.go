package table

import (
	_ "embed"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/internal/csvrows"
)

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
		spread, errA := strconv.ParseFloat(r[2], 64)
		half, errB := strconv.ParseFloat(r[3], 64)
		if by := Origin(r[6]); errA != nil || errB != nil || strings.TrimSpace(r[4]) == "" || strings.TrimSpace(r[5]) == "" || by != Seen && by != Memory {
			return errors.New("needs two numbers, words and a source")
		}
		s.Missing = append(s.Missing, chem.Missing{With: r[1], Spread: spread, Half: half, Words: r[4]})
		return nil
	})
}
