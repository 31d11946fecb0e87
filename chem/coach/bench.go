package coach

import "example.org/halfdrop/chem"

// Prior spreads for ordinary care, as standard deviations (design figures,
// a choice of this project; nobody publishes them).
const (
	amountSD   = 0.015 // ln, amount weighed
	excessSD   = 0.015 // starting acid or base excess, fraction of the buffer
	begunSD    = 0.5   // the same of a beaker that somebody has begun to titrate
	shiftSD    = 0.032 // pH, one shift of the scale in this beaker: that of a calibrated meter
	slopeSD    = 0.012 // pH per pH away from the aim: meter slope
	bendSD     = 0.008 // pH, error of the curve's shape far from the aim
	bendLength = 0.8   // pH, over which that error is the same
	scatterSD  = 0.05  // of single drops, relative
	pouredSD   = 0.02  // of a volume measured in mL, relative

	mishapPrior = 0.003 // that one addition missed the beaker, or that one was not logged
	jumpSD      = 0.2   // charge of an addition that was not logged, fraction of the buffer
	deafSD      = 0.015 // pH, scatter of an electrode that does not follow
	deafRange   = 14.0  // pH, over which such an electrode may stand anywhere
)

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

// Bench is what the coach is told before the first reading.
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
	Guide     Guide     // where an amount is looked for instead of a pH; else nil

	memory memory
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
