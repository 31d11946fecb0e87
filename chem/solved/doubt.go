package solved

import (
	"math"

	"example.org/halfdrop/chem"
)

// Doubts is how far a computed pH may be trusted, and why not further: the one
// figure for a result, a curve, a plan and a coach.
type Doubts struct {
	PH         float64 // one standard deviation of the pH, the composition taken as true
	LnCapacity float64 // one standard deviation of ln of the buffer capacity
	PerDegree  float64 // one standard deviation of the change of pH per °C
	Parts      []Part  // what the first is made of, in quadrature; those of 0.001 and more
	Flags      []Flag
}

// Part is one cause of doubt.
type Part struct {
	Cause Cause
	PH    float64 // one standard deviation of the pH
}

// Cause is where a doubt comes from.
type Cause string

// The causes.
const (
	OfModel      Cause = "activity model"      // Pitzer's equations and their parameters
	OfScale      Cause = "pH scale"            // single ions and the junction of the electrode: a pH is no more exact than that
	OfClass      Cause = "class of ions"       // ions without parameters of their own
	OfDispute    Cause = "disputed parameters" // published sets that differ
	OfCoolness   Cause = "parameters at 25 °C" // used at another temperature
	OfConstants  Cause = "pK"
	OfHeats      Cause = "heat of ionization"
	OfComplexes  Cause = "complexes"
	OfChemistry  Cause = "missing chemistry" // an interaction that is known to be there and has no constant
	OfSolvent    Cause = "solvent"           // neutral solutes that change it
	OfCarbonAcid Cause = "carbon dioxide"
)

// The spreads of the activity model, one standard deviation of log10 γ or of a
// pH, I in mol/kg: judged from the misses of the published rows of testdata by
// family, and written down before the last third of them was looked at; those of the
// model, of pK that publications agree on and of polyborates were narrowed later by the
// likelihood of every second row: of the others, 254, 251 lay inside two spreads before and
// 249 after, and ln of their likelihood rose by 10. Those of a class come from no buffer: they
// are what the measured pairs miss when each is taken out of the table of parameters in turn
// (pitzer.TestClassesMissAsMuchAsIsCounted). At I = 0 there is none: the law of Debye
// and Hückel is exact there, and what a pH is off is of its scale and of the pK.
const (
	spreadPerI    = 0.018 // up to spreadBend
	spreadBend    = 1.2
	spreadPerMore = 0.045 // beyond
	daviesSpread  = 0.06  // of the law of Davies where it is held
	spreadPerTop  = 0.15  // on top, beyond chem.StrongLimit
	classSingle   = 0.10  // per I: an ion of one charge without parameters of its own
	classDouble   = 0.12  // of two charges
	classMany     = 0.35  // of more
	classFrom     = 0.1   // mol/kg up to which a pK holds what the coefficients of its own ions are off: it was led down from there
	neutralPerI   = 0.05  // per I: salting-out that was not measured
	steadyPerK    = 0.0006
	disputedFrom  = 0.35  // mol/kg from which published sets differ in full
	flatFrom      = 0.1   // mol/kg from which those of many charges differ by the same
	scaleDilute   = 0.01  // of the scale and the junction, at I = 0
	scalePerI     = 0.015 // and per I
	scaleOfH      = 0.01  // of the coefficient of H⁺ itself, where free acid or base makes the pH
	capacityLeast = 0.01  // of ln capacity
	capacityPerI  = 0.03  // and per I: how the medium follows a dose
)

// traceAcid is the CO₂ that water picks up between the still and the beaker,
// mol/kg: a third of what air keeps dissolved at 25 °C. Our own choice.
const traceAcid = 5e-6

// carbonateLoss is the share of carbonate that an ordinary vessel exchanges with
// the air while it is handled: most of it while it is bicarbonate, whose solutions are far
// above the carbon dioxide of the air. Our own choice: of a published table of bicarbonate
// with NaOH every row from pH 9.6 to 11 misses by 0.7 to 1.0 of 25 mmol of base.
const carbonateLoss = 0.035

// solventPerShare is one standard deviation of the pH per share of the volume
// that neutral solutes take up. Our own choice: pK of amines and carboxylic
// acids move by 0.1 to 0.4 in 8 M urea or in half glycerol, either way.
const solventPerShare = 0.5

// Judge judges a solved composition in the medium that belongs to it.
//
// All parts are taken as independent. What an ion, a pK or a constant does to
// the pH follows from how the charge at that pH answers to it.
func Judge(m *chem.Model, c *chem.Composition, e chem.Equilibrium, md *chem.Medium) Doubts {
	return judge(m, c, e, md, m.Inside(c, e.PH, md))
}

func judge(m *chem.Model, c *chem.Composition, e chem.Equilibrium, md *chem.Medium, in *chem.Inside) Doubts {
	j := judgement{m: m, c: c, in: in, pH: m.Response(c, e, md), strength: e.Strength, slope: -e.Slope, variance: map[Cause]float64{}}
	j.counterIons()
	j.add(OfModel, j.model())
	j.add(OfScale, scaleDilute+scalePerI*math.Min(j.strength, chem.StrongLimit))
	j.add(OfScale, scaleOfH*j.freeAcid())
	j.forms()
	j.constants()
	j.complexes()
	j.missing()
	j.solvent()
	j.carbonDioxide()
	return j.done()
}
