package chem_test

import (
	"fmt"

	"example.org/halfdrop/chem"
)

// The capacity of one pKa is β = ln 10 · C · Ka·h/(Ka + h)² (D. D. van Slyke, J. Biol. Chem.
// 52, 525 (1922)): at h = Ka it is ln 10 / 4 = 0.5756 of the concentration, its largest.
// Water adds ln 10 · (h + Kw/h), here next to nothing. By hand, 0.100 mol/kg of an acid of
// pKa 7.00, half neutralised: 2.302585 · 0.100 · 0.25 = 57.6 mmol/kg per pH at pH 7.00; one
// unit above, Ka·h/(Ka + h)² = 0.1/1.21 and 19.0 mmol/kg per pH.
func ExampleDescribe_capacity() {
	acid := &chem.System{Name: "an acid", Steps: []chem.Step{{PK: 7}}}
	for _, share := range []float64{1. / 2, 10. / 11} {
		s := chem.Solution{Volume: chem.Litre, Water: chem.Kilogram, Temp: 25,
			Systems: []chem.SystemTotal{{System: acid, Amount: 100 * chem.Millimole}},
			Ions:    []chem.IonTotal{{Ion: chem.Ion{Name: "Na+", Charge: 1}, Amount: chem.Amount(share) * 100 * chem.Millimole}}}
		r, err := chem.Describe(s, chem.Ideal)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("pH %.2f, %.1f mM per pH\n", r.PH, 1e3*r.Capacity)
	}
	// Output:
	// pH 7.00, 57.6 mM per pH
	// pH 8.00, 19.0 mM per pH
}
