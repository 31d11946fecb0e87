package table

import (
	_ "embed"
	"errors"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/chem/internal/csvrows"
)

//go:embed data/heats.csv
var heatsCSV []byte

var heats = sync.OnceValues(func() (map[string]float64, error) { return readHeats(heatsCSV) })

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
	list, err := heats()
	if err != nil {
		return 0, false
	}
	v, ok := list[r.Formula]
	return v, ok
}
