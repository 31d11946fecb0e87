package coach

import "example.org/halfdrop/chem"

// Guide takes the place of the coach at a bench where an amount is looked for and
// not a pH: it is asked what the Bench would be asked. See package find.
type Guide interface {
	Advise(Request) Advice
	Stands(r Request, stock int, drops float64) bool
	Landing(r Request, a Addition) (after, low, high float64)
	DropsBetween(h History, stock int, from, to chem.PH) float64
	Curve(h History, from, to chem.Amount, n int) []CurvePoint
	Forecast() Forecast
}
