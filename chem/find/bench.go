package find

import (
	"errors"
	"math"
	"slices"
	"sync"

	"example.org/halfdrop/chem"
)

// Figures of judgement, a choice of this project.
const (
	floorPH    = 0.004  // pH, by which readings scatter beside their spread
	bendLength = 1.0    // pH, over which the error of a scale is alike
	traceKg    = 2e-6   // mol of charge per kg of water that no reading is free of
	excessKg   = 1.4e-5 // mol per kg: what carbon dioxide of the air brings into water (see coach)
	blankKg    = 7e-6   // mol of charge per kg of water: half of that, by which it counts otherwise from pH to pH
	blankGuess = 1e-3   // L of titrant, that a blank may be
	dropShare  = 0.05   // scatter of single drops, relative
)

// What is what is looked for.
type What uint8

const (
	Strength What = iota // of the first bottle, against what was weighed
	Amount               // of one part of what is in the beaker
	Constant             // the pK of a weak acid or base, and its amount
	// Blank is the volume of the first titrant that water and reagents take up without a
	// sample. Values, spreads and Goal are in L then, and not relative: a blank may be none.
	Blank
)

// By is what a titrant is given by, which says how its errors add up.
type By uint8

const (
	Drops   By = iota // scatter each by itself, and share the error of their size
	Pipette           // each volume has an error of its own
	Burette           // each reading of the scale has an error of its own
)

// Part is a substance in the beaker.
type Part struct {
	Name   string
	Dry    chem.Composition // its nominal amount, without water
	Moles  float64          // that amount, mol
	SD     float64          // of ln(amount)
	Causes []Spread         // what SD is made of; for words
}

// Spread is one cause of a spread.
type Spread struct {
	Cause Cause
	SD    float64 // relative
}

// Stock is a titrant as labelled.
type Stock struct {
	Name       string
	PerLitre   chem.Composition
	Molar      float64     // as labelled; of a base what it neutralises to pH 8 to 9
	Step       chem.Volume // a drop, or the step of a scale
	By         By
	SizeSD     float64     // of ln(true volume / volume as counted), all of it together
	ReadSD     chem.Volume // of one reading of a burette, or of a pipetted volume
	StrengthSD float64     // of ln(true strength / label)
	LnStrength float64     // ln(true strength / label), most probable: what was found before
	Carbonate  float64     // mol of carbonate per mol of base that are expected
	CarbonSD   float64     // give or take; 0 where there can be none
}

// PK is a constant that is not taken for true.
type PK struct {
	System, Step int // among Bench.Systems, from 0
	SD           float64
}

// Bench is what is told before the first reading.
type Bench struct {
	Temp    chem.Celsius
	Systems []*chem.System   // of all that may be in the beaker
	Water   chem.Composition // before anything is added
	Parts   []Part
	Stocks  []Stock
	PKs     []PK

	What   What
	Of     int     // the Part looked for; for Strength the one that is the standard
	Goal   float64 // relative spread of the answer that is wanted
	GoalPK float64 // the same of a pK, for Constant

	Start, Vessel chem.Volume
	ShiftSD       float64 // pH, of the meter
	SlopeSD       float64 // relative, of its slope
	BendSD        float64 // pH, of what these leave of the error of its scale, and of the shape of the computed curve
	// Blank is the titrant, L, that the water and the indicator take up without
	// the sample, and BlankSD its spread.
	Blank, BlankSD     float64
	SampleML, SampleSD float64 // of the sample, and relative; for a concentration

	Labelled []float64 // charge of a litre of each stock by its label, mol: the measure of Curve

	mu     sync.Mutex
	models map[string]*models
	aim    float64
}

// Cause is what spreads an answer.
type Cause string

const (
	OfBalance   Cause = "balance"
	OfPurity    Cause = "purity of the standard"
	OfStrength  Cause = "strength of the titrant"
	OfSize      Cause = "size of the drop"
	OfBurette   Cause = "calibration of the burette"
	OfScatter   Cause = "scatter of the drops"
	OfReading   Cause = "reading of the burette"
	OfMeter     Cause = "calibration of the meter"
	OfCarbonate Cause = "carbonate in the base"
	OfConstant  Cause = "pK"
	OfBlank     Cause = "blank and carbon dioxide"
	OfSample    Cause = "volume of the sample"
	OfPH        Cause = "pH readings"
)

// The unknowns: a vector with these first, then one a part, a strength a stock,
// a size a stock, a carbonate content a stock, a shift a pK.
const (
	iShift = iota
	iSlope
	iExcess
	fixed
)

func (b *Bench) iPart(k int) int     { return fixed + k }
func (b *Bench) iStrength(j int) int { return fixed + len(b.Parts) + j }
func (b *Bench) iSize(j int) int     { return fixed + len(b.Parts) + len(b.Stocks) + j }
func (b *Bench) iCarbon(j int) int   { return fixed + len(b.Parts) + 2*len(b.Stocks) + j }
func (b *Bench) iPK(i int) int       { return fixed + len(b.Parts) + 3*len(b.Stocks) + i }
func (b *Bench) unknowns() int       { return b.iPK(len(b.PKs)) }

// Known is what was found of a stock: ln(strength / label) and the carbonate, mol per mol of
// base, with their standard deviations; the carbonate is not known where its own is 0.
type Known struct{ LnStrength, SD, Carbonate, CarbonSD float64 }

// Know tells what was found of a stock. To be called before the first belief.
func (b *Bench) Know(stock int, k Known) {
	s := &b.Stocks[stock]
	s.LnStrength, s.StrengthSD = k.LnStrength, math.Max(k.SD, 1e-4)
	if k.CarbonSD > 0 && b.mayCarbonate(stock) {
		s.Carbonate, s.CarbonSD = math.Max(k.Carbonate, 0), math.Max(k.CarbonSD, 1e-5)
	}
}

// prior is the mean and the variance of each unknown.
func (b *Bench) prior() (mean, variance []float64) {
	m := b.unknowns()
	mean, variance = make([]float64, m), make([]float64, m)
	sq := func(i int, sd float64) { variance[i] = sd * sd }
	sq(iShift, b.ShiftSD)
	sq(iSlope, b.SlopeSD)
	blank := b.Stocks[0].PerLitre.Charge // what it neutralises is of the other sign
	mean[iExcess] = -b.Blank * blank
	sq(iExcess, math.Hypot(b.BlankSD*blank, excessKg*b.Water.Water))
	if b.What == Blank {
		sq(iExcess, blankGuess*blank)
	}
	for k, p := range b.Parts {
		sq(b.iPart(k), p.SD)
	}
	for j, s := range b.Stocks {
		mean[b.iStrength(j)] = s.LnStrength
		sq(b.iStrength(j), s.StrengthSD)
		sq(b.iSize(j), s.SizeSD)
		mean[b.iCarbon(j)] = s.Carbonate
		sq(b.iCarbon(j), s.CarbonSD)
	}
	for i, k := range b.PKs {
		sq(b.iPK(i), k.SD)
	}
	return mean, variance
}

// carbonate is the place of carbonic acid among the systems, −1 where it is not.
func (b *Bench) carbonate() int {
	return slices.IndexFunc(b.Systems, func(s *chem.System) bool { return s.Name == "carbonate" })
}

// Errors of a bench or a history that nothing can be computed for.
var (
	errNoBalance = errors.New("find: the charges of a reading do not balance for any contents of a beaker")
	errSingular  = errors.New("find: the readings contradict one another too much to compute anything")
	ErrNoPoint   = errors.New("no equivalence point within reach")
)
