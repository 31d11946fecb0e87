package chem

import (
	"math"

	"example.org/halfdrop/chem/pitzer"
)

// judgement gathers the doubts of one composition.
type judgement struct {
	m        *Model
	c        *Composition
	md       Medium
	h        float64
	strength float64
	slope    float64 // −d charge/d pH, mol
	mol      [pitzer.MaxLocal]float64
	counter  [2]float64 // Σ m|z| of cations and of anions
	variance map[Cause]float64
	capacity float64
	degree   float64
	flags    []Flag
	binds    binding
}

func (j *judgement) add(cause Cause, sd float64) {
	if math.Abs(sd) > 0 {
		j.variance[cause] += sd * sd
	}
}

// ions computes the molalities.
func (j *judgement) ions() {
	var f pitzer.Field
	j.m.strongIons(j.c, &j.mol, &f)
	j.m.molalities(j.h, &j.md, j.c, &j.mol)
	for k := range j.m.act.N {
		q := j.mol[k] * j.m.act.Z[k]
		if q > 0 {
			j.counter[0] += q
		} else {
			j.counter[1] -= q
		}
	}
	if len(j.m.cx) > 0 {
		j.binds.prepare(j.m, j.h, &j.md, j.c)
		j.binds.solve(j.m, &j.md.free)
	}
}

// moved is by how much the pH moves when the charge at this pH does, to first
// order and never by more than a pH unit and a half.
func (j *judgement) moved(charge float64) float64 {
	return math.Max(-1.5, math.Min(1.5, charge/j.slope))
}

// model is the spread of the activity model.
func (j *judgement) model() float64 {
	i := j.strength
	switch {
	case j.m.law == idealLaw:
		j.flag(Flag{Doubt: NoActivities})
		return 0.02 + 0.5*math.Sqrt(math.Min(i, 1))
	case j.m.law == daviesLaw && i > daviesLimit:
		j.flag(Flag{Doubt: HighStrength, Limit: daviesLimit})
		return daviesSpread + 0.3*(i-daviesLimit)
	}
	out := spreadPerI * math.Min(i, spreadBend)
	out += spreadPerMore * math.Max(0, i-spreadBend)
	if i > StrongLimit {
		j.flag(Flag{Doubt: HighStrength, Limit: StrongLimit})
		out += spreadPerTop * (i - StrongLimit)
	}
	return out
}

// freeAcid is the part of the buffer capacity that H⁺ and OH⁻ have by themselves.
func (j *judgement) freeAcid() float64 {
	n := j.c.Water * (j.h*j.md.hg + j.md.oh/j.h)
	return math.Min(1, math.Ln10*n/j.slope)
}

// tiny is the part of a doubt that is not spoken of.
const tiny = 0.01

// forms doubts the coefficients of the forms of all systems.
func (j *judgement) forms() {
	if j.m.law != pitzerLaw {
		return
	}
	for i, s := range j.m.sys {
		r := &j.m.row[i]
		if j.c.Totals[i] == 0 || r.gas {
			continue
		}
		class := 0.0
		for k := range r.steps + 1 {
			by := math.Abs(j.byForm(i, k))
			if by < 1e-4 {
				continue
			}
			own, dispute, steady := j.ofIon(int(r.ion[k]))
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

// byForm is dpH/dlog10 γ of one form.
func (j *judgement) byForm(i, k int) float64 {
	const step = 1e-3
	md := j.md
	r := &j.m.row[i]
	up := math.Exp(step)
	if k > 0 {
		md.k[i][k-1] /= up
	}
	if k < r.steps {
		md.k[i][k] *= up
	}
	for x := range j.m.cx {
		q := &j.m.cx[x]
		if int(q.ligand) == i && k == r.steps {
			md.cx[x] += q.nL * step
		}
		if int(q.metal) == i && k == 0 {
			md.cx[x] += q.nM * step
		}
	}
	return j.moved(j.m.charge(j.h, &md, j.c)-j.m.charge(j.h, &j.md, j.c)) / step * math.Ln10
}

// ofIon is one standard deviation of log10 γ of an ion, −1 for a form without
// a charge: for what is not its own, for what is disputed, and for parameters
// of 25 °C used elsewhere.
func (j *judgement) ofIon(k int) (class, dispute, steady float64) {
	i := j.strength
	if k < 0 {
		return neutralPerI * i, 0, 0
	}
	a, t := j.m.act, pitzer.Ions()
	if a.Z[k] == 0 {
		for x := range a.N {
			if pitzer.PairOf(a.Row[k], a.Row[x]).From != pitzer.OfItself {
				class += neutralPerI * i * j.mol[x] * math.Abs(a.Z[x]) / (j.counter[0] + j.counter[1])
			}
		}
		return class, 0, 0
	}
	per := classSingle
	if math.Abs(a.Z[k]) > 1 {
		per = classMany
	}
	total := j.counter[1]
	if a.Z[k] < 0 {
		total = j.counter[0]
	}
	warm := math.Abs(float64(j.m.temp) - 25)
	per *= math.Max(0, i-classFrom)
	for x := range a.N {
		if a.Z[x]*a.Z[k] >= 0 || j.mol[x] == 0 {
			continue
		}
		share := j.mol[x] * math.Abs(a.Z[x]) / total
		switch p := pitzer.PairOf(a.Row[k], a.Row[x]); {
		case p.From == pitzer.Missing:
			class += 1.5 * per * share
		case p.From == pitzer.OfClass:
			class += per * share
		case p.Steady:
			steady += steadyPerK * i * warm * share
		}
	}
	// In dilute solutions all sets are one: the law of Debye and Hückel.
	if own := &t.Rows[a.Row[k]]; own.Flat {
		dispute = own.Disputed * math.Min(1, i/flatFrom)
	} else {
		dispute = own.Disputed * i * math.Min(1, i/disputedFrom)
	}
	return class, dispute, steady
}

// constants doubts every pK, and its heat away from 25 °C.
func (j *judgement) constants() {
	for i, s := range j.m.sys {
		if j.c.Totals[i] == 0 || j.m.row[i].gas {
			continue
		}
		for k, st := range s.Steps {
			by, cap := j.byStep(i, k)
			pk, heat := st.Spread, st.SlopeSpread*1000/(gasConstant*math.Ln10)*(1/j.m.temp.Kelvin()-1/refKelvin)
			j.add(OfConstants, by*pk)
			j.add(OfHeats, by*heat)
			j.capacity += cap * cap * (pk*pk + heat*heat)
			t := j.m.temp.Kelvin()
			degree := by * st.SlopeSpread * 1000 / (gasConstant * math.Ln10 * t * t)
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

// byStep is dpH/dpK of a step in a held medium, and d ln(capacity)/dpK where
// the pH has followed.
func (j *judgement) byStep(i, k int) (ph, capacity float64) {
	const step = 1e-3 // of ln K
	md := j.md
	// A pK of a ligand below the step that takes up the proton binds metals the
	// more weakly the higher it is: constants of complexes count from the
	// least protonated form and stay.
	md.k[i][k] *= math.Exp(-step)
	before, after := j.m.at(j.h, &j.md, j.c), j.m.at(j.h, &md, j.c)
	d := j.moved(after.charge() - before.charge())
	then := j.m.at(j.h*math.Pow(10, -d), &md, j.c)
	return d / step * math.Ln10, math.Log(then.chargeH()/before.chargeH()) / step * math.Ln10
}

// wideConstant is the spread of a constant, powers of ten, from which its doubt is not
// taken along a straight line.
const wideConstant = 0.3

// complexes doubts the constants of those of which there is some, and their
// coefficients as those of any ion.
func (j *judgement) complexes() {
	const step = 1e-3
	for k := range j.m.cx {
		x := &j.m.cx[k]
		if j.binds.c[k]*j.c.Water*math.Max(1, math.Abs(x.protons)) < 1e-3*j.slope*tiny {
			continue
		}
		md := j.md
		md.cx[k] += step
		by := j.moved(j.m.charge(j.h, &md, j.c)-j.m.charge(j.h, &j.md, j.c)) / step * math.Ln10
		sd := by * x.of.Spread
		if x.of.Spread >= wideConstant {
			// So far the pH does not follow a straight line: what more of it does counts.
			md.cx[k] += x.of.Spread*math.Ln10 - step
			sd = math.Max(math.Abs(sd), math.Abs(j.moved(j.m.charge(j.h, &md, j.c)-j.m.charge(j.h, &j.md, j.c))))
		}
		j.add(OfComplexes, sd)
		if j.m.law != pitzerLaw || x.ion < 0 {
			continue
		}
		own, dispute, steady := j.ofIon(int(x.ion))
		j.add(OfClass, by*own)
		j.add(OfDispute, by*dispute)
		j.add(OfCoolness, by*steady)
	}
}

// missing counts what is known to be there and cannot be computed.
func (j *judgement) missing() {
	for i, s := range j.m.sys {
		for _, x := range s.Missing {
			n := j.c.Totals[i]
			metal := false // what is free of it is wrong, be it too little to move a pH
			if x.With != "" {
				k := j.m.index(x.With)
				if k < 0 {
					continue
				}
				n, metal = math.Min(n, j.c.Totals[k]), j.m.sys[k].Charge >= 2
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
	if j.m.pco2 > 0 {
		return
	}
	trace := j.moved(traceAcid * j.c.Water)
	j.add(OfCarbonAcid, trace)
	if trace > 0.05 {
		j.flag(Flag{Doubt: Unbuffered})
	}
	for i, s := range j.m.sys {
		if s.Name != carbonate {
			continue
		}
		sd := j.moved(carbonateLoss * j.c.Totals[i])
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
