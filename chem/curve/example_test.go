package curve_test

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/curve"
)

// From charge to pH and back, on 25.00 mL of 0.100 M acetic acid with 0.100 M NaOH, in an
// ideal solution: OpenStax Chemistry 2e, section 14.7, table 14.4 (CC BY; Ka 1.8·10⁻⁵).
// The positive charge of sodium is that of all anions,
//
//	[Na⁺] + h = Kw/h + C · Ka/(Ka + h),
//
// which is explicit in the volume: with Δ = h − Kw/h and α = Ka/(Ka + h)
//
//	v = V₀ · (C₀ · α − Δ) / (C + Δ).
//
// By hand at pH 4.57: h = 2.69·10⁻⁵, α = 0.4008, v = 25 · (0.04008 − 0.00003)/0.10003 = 10.0 mL.
func ExampleCurve_VolumeAt() {
	acetic := &chem.System{Name: "acetate", Steps: []chem.Step{{PK: -math.Log10(1.8e-5)}}}
	beaker := chem.Solution{Volume: 25 * chem.Millilitre, Water: 25e-3 * chem.Kilogram, Temp: 25,
		Systems: []chem.SystemTotal{{System: acetic, Amount: 2.5 * chem.Millimole}}}
	naoh := chem.Solution{Volume: chem.Litre, Water: chem.Kilogram, Temp: 25,
		Ions: []chem.IonTotal{{Ion: chem.Ion{Name: "Na+", Charge: 1}, Amount: 0.1 * chem.Mole}}}
	c, err := curve.New(beaker, naoh, chem.Ideal)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("the book   volume to the pH   pH of the volume")
	for _, row := range []struct{ ml, ph float64 }{{5, 4.14}, {10, 4.57}, {15, 4.92}, {20, 5.35}, {24, 6.13}, {25, 8.72}, {26, 11.29}} {
		v, _ := c.VolumeAt(row.ph)
		ph, _ := c.PHAt(chem.Volume(row.ml) * chem.Millilitre)
		fmt.Printf("%2.0f mL %5.2f     %4.1f mL            %5.2f\n", row.ml, row.ph, v.Millilitres(), ph)
	}
	// Output:
	// the book   volume to the pH   pH of the volume
	//  5 mL  4.14      5.0 mL             4.14
	// 10 mL  4.57     10.0 mL             4.57
	// 15 mL  4.92     15.0 mL             4.92
	// 20 mL  5.35     20.0 mL             5.35
	// 24 mL  6.13     24.0 mL             6.13
	// 25 mL  8.72     25.0 mL             8.72
	// 26 mL 11.29     26.0 mL            11.29
}
