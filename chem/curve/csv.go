package curve

import (
	"bufio"
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
