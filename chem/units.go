package chem

import (
	"fmt"
	"math"
	"strings"
)

// Volume is a volume of solution in litres.
type Volume float64

// Units of Volume.
const (
	Litre      Volume = 1
	Millilitre Volume = 1e-3
	Microlitre Volume = 1e-6
)

// Litres is the volume in L.
func (v Volume) Litres() float64 { return float64(v) }

// Millilitres is the volume in mL.
func (v Volume) Millilitres() float64 { return float64(v / Millilitre) }

// Microlitres is the volume in µL.
func (v Volume) Microlitres() float64 { return float64(v / Microlitre) }

// Amount is an amount of substance in moles.
type Amount float64

// Units of Amount.
const (
	Mole      Amount = 1
	Millimole Amount = 1e-3
)

// Moles is the amount in mol.
func (a Amount) Moles() float64 { return float64(a) }

// Millimoles is the amount in mmol.
func (a Amount) Millimoles() float64 { return float64(a / Millimole) }

// In is the amount divided by a volume: a concentration.
func (a Amount) In(v Volume) Molarity { return Molarity(float64(a) / float64(v)) }

// Mass is a mass in grams.
type Mass float64

// Units of Mass.
const (
	Gram     Mass = 1
	Kilogram Mass = 1e3
)

// Grams is the mass in g.
func (m Mass) Grams() float64 { return float64(m) }

// Kilograms is the mass in kg.
func (m Mass) Kilograms() float64 { return float64(m / Kilogram) }

// Weighed is a mass in g as a balance is to show it: four figures, zeros and all, and no
// finer than a tenth of a milligram; below a milligram what it should be.
func (m Mass) Weighed() string {
	g := Rounded(m.Grams(), 4)
	if !(math.Abs(g) >= 1e-3) {
		return Digits(g, 2)
	}
	return fmt.Sprintf("%.*f", max(0, min(4, 3-int(math.Floor(math.Log10(math.Abs(g))+1e-12)))), g)
}

// MolarMass is a mass per amount of substance in g/mol.
type MolarMass float64

// Of is the mass of an amount.
func (mm MolarMass) Of(a Amount) Mass { return Mass(float64(mm) * float64(a)) }

// In is the amount in a mass.
func (mm MolarMass) In(m Mass) Amount { return Amount(float64(m) / float64(mm)) }

// Molarity is an amount concentration in mol/L.
type Molarity float64

// In is the amount held in a volume of this concentration.
func (c Molarity) In(v Volume) Amount { return Amount(float64(c) * float64(v)) }

// Celsius is a temperature in °C.
type Celsius float64

// Kelvin is the temperature in K.
func (t Celsius) Kelvin() float64 { return float64(t) + 273.15 }

// PH is −log10 of the activity of H⁺ (molal scale).
type PH float64

// Rounded is a number to n significant figures.
func Rounded(x float64, n int) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return x
	}
	k := math.Pow(10, float64(n-1)-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*k) / k
}

// Digits writes a number with n significant figures, without an exponent and without
// zeros at its end.
func Digits(x float64, n int) string {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return fmt.Sprint(x)
	}
	x = Rounded(x, n)
	d := n - 1 - int(math.Floor(math.Log10(math.Abs(x))+1e-12))
	if d <= 0 {
		return fmt.Sprintf("%.0f", x)
	}
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.*f", d, x), "0"), ".")
}

// Signed writes a number with its sign and so many decimals; what rounds to nothing has no sign.
func Signed(x float64, decimals int) string {
	s := fmt.Sprintf("%+.*f", decimals, x)
	if strings.Trim(s, "+-0.") == "" {
		return s[1:]
	}
	return s
}
