// Package curve predicts a titration curve: the pH of a beaker against the
// volume of a titrant, the volume for a pH, and how sure that is.
//
// Incomplete: one titrant at a time, and the temperature stays that of the
// beaker whatever is dripped in.
package curve

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"example.org/halfdrop/chem"
)

// ErrUnreachable says that no volume of the titrant gives the pH.
var ErrUnreachable = errors.New("no volume of this titrant gives that pH")

// Curve is a beaker and a titrant at one temperature. It is not changed by
// use and may be shared between goroutines.
type Curve struct {
	model  *chem.Model
	beaker chem.Composition
	litre  chem.Composition // one litre of titrant
}

// New is the curve of dripping a titrant, given by one litre of it, into a
// beaker, at the beaker's temperature. A titrant of no volume and no water is
// allowed: the beaker then keeps its volume, as when made up to a mark.
func New(beaker, perLitre chem.Solution, opts ...chem.Option) (*Curve, error) {
	if err := beaker.Validate(); err != nil {
		return nil, fmt.Errorf("curve: beaker: %w", err)
	}
	all := chem.Mix(beaker, perLitre)
	if perLitre.Volume == 0 {
		all.Water = chem.Kilogram // a unit of titrant, of which a little goes in
	}
	if err := all.At(beaker.Temp).Validate(); err != nil {
		return nil, fmt.Errorf("curve: titrant: %w", err)
	}
	c := &Curve{}
	var err error
	if c.model, err = chem.NewModel(beaker.Temp, all.Kinds(), opts...); err != nil {
		return nil, fmt.Errorf("curve: %w", err)
	}
	if c.beaker, err = c.model.Compose(beaker); err != nil {
		return nil, fmt.Errorf("curve: %w", err)
	}
	if c.litre, err = c.model.Compose(perLitre); err != nil {
		return nil, fmt.Errorf("curve: %w", err)
	}
	return c, nil
}

// PHAt is the pH after a volume of titrant. The volume must not be negative.
func (c *Curve) PHAt(v chem.Volume) (float64, error) {
	if !(v >= 0) || math.IsInf(float64(v), 0) {
		return 0, fmt.Errorf("curve: volume %g mL: must be zero or more", v.Millilitres())
	}
	x := c.beaker.Plus(v.Litres(), c.litre)
	e, err := c.model.Solve(&x)
	if err != nil {
		return 0, fmt.Errorf("curve: at %g mL: %w", v.Millilitres(), err)
	}
	return e.PH, nil
}

// VolumeAt is the volume of titrant that brings the beaker to a pH.
//
// It is explicit: at a given pH and in a given medium the charges of beaker
// and titrant are numbers, and the volume is minus their ratio. Only the
// medium that goes with the answer is made consistent by repetition, and in an
// ideal solution once is enough. A pH that the titrant leads away from, or
// never reaches, is ErrUnreachable.
func (c *Curve) VolumeAt(ph float64) (chem.Volume, error) {
	if !(ph > -2 && ph < 16) {
		return 0, fmt.Errorf("curve: pH %g: must be between −2 and 16", ph)
	}
	var md chem.Medium
	v, last, lastGap := 0.0, 0.0, 0.0
	for n := range 100 {
		x := c.beaker.Plus(v, c.litre)
		c.model.BalanceIn(ph, &md, &x)
		qb, _ := c.model.ChargeIn(ph, &md, &c.beaker)
		qt, _ := c.model.ChargeIn(ph, &md, &c.litre)
		next := -qb / qt
		// A hair below nothing is nothing: the pH itself is good to 2e-8.
		if !(next > -1e-7*c.beaker.Water && next < 1e6) {
			break
		}
		next = math.Max(next, 0)
		gap := next - v
		if math.Abs(gap) <= 1e-10*(next+1e-3*c.beaker.Water) {
			return chem.Volume(next), nil
		}
		// Secant on the gap, a plain repetition where that would not help.
		step := gap
		if n > 0 && gap != lastGap {
			if s := -gap * (v - last) / (gap - lastGap); v+s > 0 && math.Abs(s) < 4*math.Abs(gap) {
				step = s
			}
		}
		last, lastGap = v, gap
		v += step
	}
	return 0, fmt.Errorf("curve: pH %.2f: %w", ph, ErrUnreachable)
}

// Point is one point of the curve.
type Point struct {
	Volume   chem.Volume // of titrant added
	PH       float64
	Low      float64 // the band: one standard deviation below
	High     float64 // and above
	Strength float64 // ionic strength, mol/kg
	Slope    float64 // dpH/dv, per litre of titrant
}

// Points are n points from nothing added to a volume, at equal distances,
// with no band. The cost is linear in n and in the systems.
func (c *Curve) Points(to chem.Volume, n int) ([]Point, error) {
	if !(to > 0) || math.IsInf(float64(to), 0) {
		return nil, fmt.Errorf("curve: up to %g mL: the volume must be above zero", to.Millilitres())
	}
	if n < 2 {
		return nil, fmt.Errorf("curve: %d points: there must be two or more", n)
	}
	out := make([]Point, n)
	step := to.Litres() / float64(n-1)
	near := chem.Equilibrium{PH: math.NaN(), Strength: math.NaN()}
	for i := range out {
		v := step * float64(i)
		x := c.beaker.Plus(v, c.litre)
		e, err := c.model.SolveNear(&x, near)
		if err != nil {
			return nil, fmt.Errorf("curve: at %g mL: %w", 1e3*v, err)
		}
		out[i] = Point{Volume: chem.Volume(v), PH: e.PH, Low: e.PH, High: e.PH, Strength: e.Strength}
		near = e
		if i > 0 { // a straight line ahead is nearer than standing still
			near.PH += e.PH - out[i-1].PH
			near.Strength += e.Strength - out[i-1].Strength
		}
	}
	slopes(out)
	return out, nil
}

// slopes fills in dpH/dv by differences of neighbours.
func slopes(p []Point) {
	for i := range p {
		a, b := max(i-1, 0), min(i+1, len(p)-1)
		p[i].Slope = (p[b].PH - p[a].PH) / (p[b].Volume - p[a].Volume).Litres()
	}
}

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
