package table

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/chem/internal/csvrows"
)

//go:embed data/heats.csv
var heatsCSV []byte

var heats = sync.OnceValues(func() (map[string]float64, error) { return readHeats(heatsCSV) })

func readHeats(data []byte) (map[string]float64, error) {
	rows, err := csvrows.Read(data, 4)
	if err != nil {
		return nil, fmt.Errorf("table: heats: %w", err)
	}
	out := map[string]float64{}
	for i, r := range rows {
		v, err := strconv.ParseFloat(r[1], 64)
		if by := Origin(r[3]); err != nil || r[0] == "" || strings.TrimSpace(r[2]) == "" || by != Seen && by != Memory {
			return nil, fmt.Errorf("table: heats, line %d: needs a formula, a number and a source", i+2)
		}
		out[r[0]] = v
	}
	return out, nil
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
