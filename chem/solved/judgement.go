package solved

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/pitzer"
	"example.org/halfdrop/chem/thermo"
)

// judgement gathers the doubts of one composition.
type judgement struct {
	m        *chem.Model
	c        *chem.Composition
	in       *chem.Inside
	pH       *chem.Response
	strength float64
	slope    float64    // −d charge/d pH, mol
	counter  [2]float64 // Σ m|z| of cations and of anions
	variance map[Cause]float64
	capacity float64
	degree   float64
	flags    []Flag
}

func (j *judgement) add(cause Cause, sd float64) {
	if math.Abs(sd) > 0 {
		j.variance[cause] += sd * sd
	}
}

// counterIons sums the charges on either side.
func (j *judgement) counterIons() {
	for _, x := range j.in.Ions {
		q := x.Molality * x.Charge
		if q > 0 {
			j.counter[0] += q
		} else {
			j.counter[1] -= q
		}
	}
}

// model is the spread of the activity model.
func (j *judgement) model() float64 {
	i := j.strength
	switch {
	case j.m.Law() == chem.NoLaw:
		j.flag(Flag{Doubt: NoActivities})
		return 0.02 + 0.5*math.Sqrt(math.Min(i, 1))
	case j.m.Law() == chem.DaviesLaw && i > pitzer.DaviesLimit:
		j.flag(Flag{Doubt: HighStrength, Limit: pitzer.DaviesLimit})
		return daviesSpread + 0.3*(i-pitzer.DaviesLimit)
	}
	out := spreadPerI * math.Min(i, spreadBend)
	out += spreadPerMore * math.Max(0, i-spreadBend)
	if i > chem.StrongLimit {
		j.flag(Flag{Doubt: HighStrength, Limit: chem.StrongLimit})
		out += spreadPerTop * (i - chem.StrongLimit)
	}
	return out
}

// freeAcid is the part of the buffer capacity that H⁺ and OH⁻ have by themselves.
func (j *judgement) freeAcid() float64 {
	n := j.c.Water * (j.in.H.Molality + j.in.OH.Molality)
	return math.Min(1, math.Ln10*n/j.slope)
}

// tiny is the part of a doubt that is not spoken of.
const tiny = 0.01

// forms doubts the coefficients of the forms of all systems.
func (j *judgement) forms() {
	if j.m.Law() != chem.PitzerLaw {
		return
	}
	for i, s := range j.m.Systems() {
		f := &j.in.Systems[i]
		if j.c.Totals[i] == 0 || f.Air {
			continue
		}
		class := 0.0
		for k, ion := range f.Ion {
			by := math.Abs(j.pH.Form(i, k))
			if by < 1e-4 {
				continue
			}
			own, dispute, steady := j.ofIon(ion)
			j.add(OfClass, by*own)
			j.add(OfDispute, by*dispute)
			j.add(OfCoolness, by*steady)
			class = math.Max(class, by*own)
		}
		if class > 2*tiny {
			j.flag(Flag{Doubt: ClassOnly, System: s.Name, Size: class})
		}
	}
}

// ofIon is one standard deviation of log10 γ of an ion, −1 for a form without
// a charge: for what is not its own, for what is disputed, and for parameters
// of 25 °C used elsewhere.
func (j *judgement) ofIon(k int) (class, dispute, steady float64) {
	i := j.strength
	if k < 0 {
		return neutralPerI * i, 0, 0
	}
	own, t := j.in.Ions[k], pitzer.Ions()
	if own.Charge == 0 {
		for _, x := range j.in.Ions {
			if pitzer.PairOf(own.Row, x.Row).From != pitzer.OfItself {
				class += neutralPerI * i * x.Molality * math.Abs(x.Charge) / (j.counter[0] + j.counter[1])
			}
		}
		return class, 0, 0
	}
	per := classSingle
	switch z := math.Abs(own.Charge); {
	case z > 2:
		per = classMany
	case z > 1:
		per = classDouble
	}
	total := j.counter[1]
	if own.Charge < 0 {
		total = j.counter[0]
	}
	warm := math.Abs(float64(j.m.Temp()) - 25)
	per *= math.Max(0, i-classFrom)
	for _, x := range j.in.Ions {
		if x.Charge*own.Charge >= 0 || x.Molality == 0 {
			continue
		}
		share := x.Molality * math.Abs(x.Charge) / total
		switch p := pitzer.PairOf(own.Row, x.Row); {
		case p.From == pitzer.Missing:
			class += 1.5 * per * share
		case p.From == pitzer.OfClass:
			class += per * share
		case p.Steady:
			steady += steadyPerK * i * warm * share
		}
	}
	// In dilute solutions all sets are one: the law of Debye and Hückel.
	if row := &t.Rows[own.Row]; row.Flat {
		dispute = row.Disputed * math.Min(1, i/flatFrom)
	} else {
		dispute = row.Disputed * i * math.Min(1, i/disputedFrom)
	}
	return class, dispute, steady
}

// constants doubts every pK, and its heat away from 25 °C.
func (j *judgement) constants() {
	for i, s := range j.m.Systems() {
		if j.c.Totals[i] == 0 || j.in.Systems[i].Air {
			continue
		}
		for k, st := range s.Steps {
			by, cap := j.pH.Step(i, k)
			pk, heat := st.Spread, st.SlopeSpread*1000/(thermo.GasConstant*math.Ln10)*(1/j.m.Temp().Kelvin()-1/thermo.Ref)
			j.add(OfConstants, by*pk)
			j.add(OfHeats, by*heat)
			j.capacity += cap * cap * (pk*pk + heat*heat)
			t := j.m.Temp().Kelvin()
			degree := by * st.SlopeSpread * 1000 / (thermo.GasConstant * math.Ln10 * t * t)
			j.degree += degree * degree
			if math.Abs(by) > 0.02 && st.Unverified {
				j.flag(Flag{Doubt: Unverified, System: s.Name, Step: k + 1, PK: st.PK})
			}
			if math.Abs(by*heat) > 0.02 && st.SlopeSpread >= heatUnknown {
				j.flag(Flag{Doubt: HeatUnknown, System: s.Name, Step: k + 1, PK: st.PK})
			}
		}
	}
}

// heatUnknown is the spread of ΔH, kJ/mol, from which it counts as not known.
const heatUnknown = 10

// complexes doubts the constants of those of which there is some, and their
// coefficients as those of any ion.
func (j *judgement) complexes() {
	for _, x := range j.in.Bound {
		if x.Molality*j.c.Water*math.Max(1, math.Abs(float64(x.Complex.Protons))) < 1e-3*j.slope*tiny {
			continue
		}
		slope, moved := j.pH.Complex(x.At, x.Complex.Spread*math.Ln10)
		by := slope * math.Ln10
		// So far the pH may not follow a straight line: what more of it does counts.
		j.add(OfComplexes, math.Max(math.Abs(by*x.Complex.Spread), math.Abs(moved)))
		if j.m.Law() != chem.PitzerLaw || x.Ion < 0 {
			continue
		}
		own, dispute, steady := j.ofIon(x.Ion)
		j.add(OfClass, by*own)
		j.add(OfDispute, by*dispute)
		j.add(OfCoolness, by*steady)
	}
}

// missing counts what is known to be there and cannot be computed.
func (j *judgement) missing() {
	for i, s := range j.m.Systems() {
		for _, x := range s.Missing {
			n := j.c.Totals[i]
			metal := false // what is free of it is wrong, be it too little to move a pH
			if x.With != "" {
				k := j.m.Index(x.With)
				if k < 0 {
					continue
				}
				n, metal = math.Min(n, j.c.Totals[k]), j.m.Systems()[k].Charge >= 2
			}
			if n <= 0 {
				continue
			}
			n /= j.c.Water
			sd := x.Spread * n / (n + x.Half)
			j.add(OfChemistry, sd)
			if sd > 2*tiny || metal {
				j.flag(Flag{Doubt: MissingChemistry, System: s.Name, With: x.With, Words: x.Words, Size: sd})
			}
		}
	}
}

// solvent counts neutral solutes.
func (j *judgement) solvent() {
	share := j.c.Room / (j.c.Room + j.c.Water)
	sd := solventPerShare * share
	j.add(OfSolvent, sd)
	if sd > 2*tiny {
		j.flag(Flag{Doubt: OtherSolvent, Size: share})
	}
}

// carbonDioxide counts what a closed solution has met on its way.
func (j *judgement) carbonDioxide() {
	if j.in.Air[0].Molality > 0 {
		return
	}
	trace := j.pH.Moved(traceAcid * j.c.Water)
	j.add(OfCarbonAcid, trace)
	if trace > 0.05 {
		j.flag(Flag{Doubt: Unbuffered})
	}
	for i, s := range j.m.Systems() {
		if s.Name != carbonate {
			continue
		}
		sd := j.pH.Moved(carbonateLoss * j.c.Totals[i])
		j.add(OfCarbonAcid, sd)
		if sd > tiny {
			j.flag(Flag{Doubt: OpenVessel, System: s.Name, Size: sd})
		}
	}
}

// flag notes a reason once.
func (j *judgement) flag(f Flag) { j.flags = append(j.flags, f) }

func (j *judgement) done() Doubts {
	out := Doubts{Flags: j.flags}
	sum := 0.0
	for _, c := range []Cause{OfModel, OfScale, OfClass, OfDispute, OfCoolness, OfConstants, OfHeats, OfComplexes, OfChemistry, OfSolvent, OfCarbonAcid} {
		v := j.variance[c]
		sum += v
		if sd := math.Sqrt(v); sd >= 1e-3 {
			out.Parts = append(out.Parts, Part{c, sd})
		}
	}
	out.PH, out.PerDegree = math.Sqrt(sum), math.Sqrt(j.degree)
	// The medium follows a dose as well as its coefficients are known.
	out.LnCapacity = math.Sqrt(capacityLeast*capacityLeast + j.capacity + math.Pow(capacityPerI*j.strength, 2))
	return out
}
