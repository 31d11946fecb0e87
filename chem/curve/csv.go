package curve

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
)

// WriteCSV writes points as a table with a header: the volume of titrant in
// mL, the pH with its band of one standard deviation, the ionic strength in
// mol/kg and dpH per mL.
func WriteCSV(w io.Writer, p []Point) error {
	b := bufio.NewWriter(w)
	fmt.Fprintln(b, "volume_ml,ph,ph_low,ph_high,ionic_strength_mol_kg,dph_per_ml")
	for _, x := range p {
		fmt.Fprintf(b, "%.6g,%.4f,%.4f,%.4f,%.5g,%.5g\n", x.Volume.Millilitres(), x.PH, x.Low, x.High, x.Strength, x.Slope*1e-3)
	}
	return b.Flush()
}

// pointJSON is a point in the units of the table.
type pointJSON struct {
	Volume   float64 `json:"volume_ml"`
	PH       float64 `json:"ph"`
	Low      float64 `json:"ph_low"`
	High     float64 `json:"ph_high"`
	Strength float64 `json:"ionic_strength_mol_kg"`
	Slope    float64 `json:"dph_per_ml"`
}

// WriteJSON writes points as a list of objects, in the units of WriteCSV.
func WriteJSON(w io.Writer, p []Point) error {
	list := make([]pointJSON, len(p))
	for i, x := range p {
		list[i] = pointJSON{digits(x.Volume.Millilitres(), 'g', 6), digits(x.PH, 'f', 4), digits(x.Low, 'f', 4), digits(x.High, 'f', 4),
			digits(x.Strength, 'g', 5), digits(x.Slope*1e-3, 'g', 5)}
	}
	out := json.NewEncoder(w)
	out.SetIndent("", "  ")
	return out.Encode(list)
}

// digits is a number with the digits that the table has.
func digits(x float64, form byte, n int) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, form, n, 64), 64)
	if err != nil {
		return x
	}
	return y
}
