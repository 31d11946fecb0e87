package curve

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
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
		list[i] = pointJSON{x.Volume.Millilitres(), x.PH, x.Low, x.High, x.Strength, x.Slope * 1e-3}
	}
	out := json.NewEncoder(w)
	out.SetIndent("", "  ")
	return out.Encode(list)
}
