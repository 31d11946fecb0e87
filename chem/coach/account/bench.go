package account

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
)

// maxStocks is how many titrants a bench may have.
const maxStocks = 8

// Stock is a titrant as labelled, and the dropper it is given with.
type Stock struct {
	Name       string
	PerLitre   chem.Composition // one litre of it
	Molarity   chem.Molarity    // as labelled, for words only
	Drop       chem.Volume      // size of one drop
	Dropper    int              // stocks with the same number share the error of Drop
	DropSD     float64          // standard deviation of ln(true drop / Drop)
	StrengthSD float64          // standard deviation of ln(true strength / label)
	ScatterSD  float64          // of single drops, relative; 0 takes 0.05
	Learned    *Learned         // what earlier runs have shown of it; nil for nothing
}

// Bench is what is told before the first reading.
type Bench struct {
	Model     *chem.Model // the systems at the temperature of the beaker
	Use       *chem.Model // the same systems at the temperature of use
	Weighed   chem.Composition
	Unweighed bool             // nobody knows what is in the beaker; Weighed is nothing
	Water     chem.Composition // the water in the beaker, nothing else
	Buffer    float64          // mol of acid–base systems weighed: the scale of the starting excess
	AmountSD  float64          // of ln(amount weighed); 0 takes that of ordinary care
	DoubtPH   float64          // standard deviation of the pH that the chemistry of the beaker gives, at the aim
	DoubtLn   float64          // and of ln of its buffer capacity
	Start     chem.Volume      // in the beaker before titration
	Final     chem.Volume      // the mark
	FinalKg   float64          // water at the mark, kg
	Target    float64          // pH in use: at the mark, at the temperature of use
	Tolerance float64          // half width of what is good enough
	Stocks    []Stock
	Mistakes  []Mistake // gross mistakes to keep an eye on, besides "as planned"
}

// droppers is how many droppers there are, by the highest of their numbers.
func (b *Bench) droppers() int {
	n := 0
	for i := range b.Stocks {
		n = max(n, b.Stocks[i].Dropper+1)
	}
	return n
}

// LabelledCharge is the charge, mol, that a volume of a stock brings near the target,
// by its label: the common measure of strong and weak, acid and base.
func (b *Bench) LabelledCharge(a Addition) float64 {
	md := b.Model.Salt(0.1)
	q, _ := b.Model.ChargeIn(b.Target, &md, &b.Stocks[a.Stock].PerLitre)
	return q * a.Volume.Litres()
}

// LabelledDrops is the labelled charge, mol, of so many drops of a stock.
func (b *Bench) LabelledDrops(stock int, drops float64) float64 {
	return drops * b.LabelledCharge(Addition{Stock: stock, Volume: b.Stocks[stock].Drop})
}

// Pull is the direction in which a stock as labelled moves the pH near the target: 1 for up,
// -1 for down.
func (b *Bench) Pull(stock int) float64 {
	return Sign(b.LabelledCharge(Addition{Stock: stock, Volume: 1}))
}

// waterCharge is the least uncertainty of a charge balance, mol per kg of
// water: what CO₂ of the air brings into plain water (1.4e-5 mol/kg at
// 420 ppm, from Henry's constant of Plummer & Busenberg, 1982).
const waterCharge = 1.4e-5

// LeastSD is the standard deviation, mol, that any charge balance of the beaker has at least.
func (a *Account) LeastSD() float64 { return waterCharge * a.bench.Water.Water }

// airCharge is the acid or base, mol per kg of water, by which a beaker with next to no
// buffer starts off what its plan has: that of waterCharge, as much again of what was on the
// glass.
const airCharge = 2.5e-5

// Scale is the scale, mol, of the starting excess for an amount of buffer, mol: without any,
// what air and glass bring is what water and salt start off by.
func (b *Bench) Scale(buffer float64) float64 {
	return math.Max(buffer, airCharge/excessSD*b.Water.Water)
}

// Mistake is a gross mistake: what is in the beaker or the bottle then.
type Mistake struct {
	Name  string  // for people: "Tris hydrochloride in the beaker, not Tris"
	Code  string  // for programs: "other_form:Tris hydrochloride"
	Prior float64 // probability before any reading

	Weighed  *chem.Composition // instead of Bench.Weighed
	Buffer   float64           // with Weighed: mol of acid–base systems
	AmountSD float64           // of ln(amount), instead of the ordinary spread
	// Stock is a bottle with something else in it, numbered from 1; 0 is none.
	Stock    int
	PerLitre *chem.Composition // what a litre of that bottle holds
	Deaf     bool              // the electrode does not follow the beaker
	// Missed is an addition that did not reach the beaker, numbered from 1.
	Missed int
	// Exchanged is an addition from another bottle than was said, numbered from 1, and Was
	// what it really was.
	Exchanged int
	Was       Addition
	// Jump is the addition, numbered from 1, around which something else was
	// added that nobody logged.
	Jump int
}

// Addition is titrant given to the beaker.
type Addition struct {
	Stock  int
	Volume chem.Volume // as counted: drops times the labelled drop, or as measured
	Drops  float64     // 0 when the volume was measured in mL
}

// Observation is a settled reading.
type Observation struct {
	After int     // how many of the additions had been made
	PH    float64 // as the meter shows it
	SD    float64 // its standard deviation
}

// History is what has happened so far.
type History struct {
	Additions    []Addition
	Observations []Observation // in order of After; the last is the present reading
	Looked       []string      // codes of mistakes that a person has looked for and not found, once each time
	Jump         int           // addition, from 1, around which something is known to have happened off the record; 0 for none
	Noise        Noise         // of the readings, as far as it is known
	Late         bool          // the electrode has a large late part: see LateFrom
	Begun        bool          // something was given before the first reading, nobody knows what
}

// Equal reports whether two histories say the same; the readings, which differ
// most often, are compared first.
func (h History) Equal(o History) bool {
	return slices.Equal(h.Observations, o.Observations) && slices.Equal(h.Additions, o.Additions) &&
		slices.Equal(h.Looked, o.Looked) && h.Jump == o.Jump && h.Noise == o.Noise && h.Late == o.Late && h.Begun == o.Begun
}

// Clone is a history that shares nothing.
func (h History) Clone() History {
	h.Additions, h.Observations, h.Looked = slices.Clone(h.Additions), slices.Clone(h.Observations), slices.Clone(h.Looked)
	return h
}

// Earlier is a history without its readings from number n on.
func (h History) Earlier(n int) History {
	h.Observations = h.Observations[:n:n]
	return h
}

// With is a history closed by a reading of the beaker as it is now: a pH as the meter shows
// it, and its standard deviation. It shares no readings with the history.
func (h History) With(ph chem.PH, sd float64) History {
	now := Observation{After: len(h.Additions), PH: float64(ph), SD: sd}
	h.Observations = append(append([]Observation(nil), h.Observations...), now)
	return h
}
