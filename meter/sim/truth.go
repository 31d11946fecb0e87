package sim

import (
	"math"
	"math/rand/v2"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
)

// Truth is what the person at the plate does not know. The zero value is a
// bench without error, noise or lag that reads whole pH units.
type Truth struct {
	Seed uint64 // of noise and scatter

	LnDrop     []float64            // per dropper: ln(true drop / labelled drop)
	LnStrength []float64            // per stock: ln(true strength / label)
	LnAmount   float64              // ln(true amount / weighed)
	Excess     float64              // strong base in the beaker, mol per mol of buffer; negative for acid
	LnVolume   float64              // ln(true starting volume / planned)
	PKShift    map[string][]float64 // by name of the system, per step
	Weighed    []recipe.Portion     // in the beaker instead of what the plan says, when not nil

	Scatter float64 // of single drops, relative standard deviation
	Poured  float64 // of a volume measured in mL, relative standard deviation

	Offset   float64 // of the meter, pH
	Slope    float64 // of the meter, pH per pH away from 7
	Bend     float64 // what the slope has more above pH 7, where glass begins to answer to other ions; below zero for less
	Noise    float64 // standard deviation of a reading, pH
	Decimals int     // digits shown

	Tau       float64 // s, of the electrode
	SlowTau   float64 // s, of its slow part
	SlowShare float64 // share of the slow part, 0 to 1
	Mixing    float64 // s, of titrant spreading to the electrode
	Before    float64 // pH in which the electrode stood until the start; 0 when it had settled in the beaker

	Temp     chem.Celsius // of the beaker in the end
	Warm     float64      // °C above Temp at the start
	CoolTau  float64      // s, of its cooling
	TempSent bool         // the meter sends the temperature

	ColdDouble float64 // °C below 25 that double the time constants; 0 when cold does nothing
	Drift      float64 // of the electrode, pH/h
	Stir       float64 // speed of the stirrer in that of Mixing; 0 is taken as 1; above 2 bubbles come
	LnDrift    float64 // ln of how many times slower the electrode is after twenty minutes
	Pickup     float64 // pH, height of an electrical pick-up that half of the readings show; 0 for none
	Gaps       float64 // chance of a reading to be the last before a pause of the meter
	CO2        float64 // uptake of carbon dioxide near pH 10, mol/(L s); 0 for a closed beaker
	Tape       *Tape   // the recorded electrode that is in the beaker, instead of noise or time constants; nil for none
	Hung       float64 // chance that the last drop of an addition hangs on the tip until the next
	Faults     []Fault
}

// Span is a range to draw from evenly.
type Span struct{ Low, High float64 }

func (s Span) draw(r *rand.Rand) float64 { return s.Low + (s.High-s.Low)*r.Float64() }

// Spread says how far benches differ from their plans: standard deviations of
// normal errors, and ranges.
type Spread struct {
	LnDrop, LnStrength float64
	Amount, Excess     float64
	Volume, PK         float64
	Offset, Slope      float64
	Scatter, Poured    float64
	Noise, Tau, Mixing Span
	Decimals           []int   // one of them
	SlowShare, SlowTau Span    // share of a slow part, and its time constant, s
	LnDrift            float64 // how far the time constant may drift, ln
	Calibration        float64 // pH by which the meter may be off, evenly to both sides
	Pickup             Span    // pH
	Gaps               float64
}

// Ordinary is ordinary care with a healthy electrode (a choice of this project;
// nobody publishes these spreads, but for the late part, measured in standards).
func Ordinary() Spread {
	return Spread{
		LnDrop: 0.10, LnStrength: 0.04, Amount: 0.015, Excess: 0.01, Volume: 0.02, PK: 0.03,
		Offset: 0.02, Slope: 0.01, Scatter: 0.05, Poured: 0.01,
		Noise: Span{0.002, 0.006}, Tau: Span{3, 10}, Mixing: Span{1, 3}, Decimals: []int{2, 3},
		SlowShare: Span{0.002, 0.023}, SlowTau: Span{40, 120},
	}
}

// Harsh is an unknown dropper, old stocks and a slow electrode (a choice of
// this project).
func Harsh() Spread {
	s := Ordinary()
	s.LnDrop, s.LnStrength, s.Scatter = 0.25, 0.08, 0.10
	s.Noise, s.Tau, s.Decimals = Span{0.002, 0.015}, Span{8, 28}, []int{2}
	s.SlowShare, s.SlowTau = Span{0.005, 0.046}, Span{40, 150}
	return s
}

// Laboratory is a glass electrode of a laboratory: quick, quiet, with a late
// part (measured on open recordings).
func Laboratory() Spread {
	s := Ordinary()
	s.Noise, s.Tau, s.Decimals = Span{0.001, 0.002}, Span{0.7, 3.5}, []int{3}
	s.SlowShare, s.SlowTau = Span{0.005, 0.04}, Span{40, 150}
	return s
}

// Student is the sensor of a teaching laboratory: noisy, with three decimals
// shown, badly calibrated (measured on open recordings).
func Student() Spread {
	s := Ordinary()
	s.Noise, s.Tau, s.Decimals = Span{0.025, 0.030}, Span{2, 6}, []int{3}
	s.SlowShare, s.SlowTau = Span{0.005, 0.03}, Span{40, 150}
	s.Calibration = 0.3
	return s
}

// Pickup is an ordinary electrode with electrical pick-up of two values
// (measured on an open recording).
func Pickup() Spread {
	s := Ordinary()
	s.Noise, s.Pickup = Span{0.006, 0.015}, Span{0.3, 0.6}
	return s
}

// Old is an electrode at its end: slow, getting slower or quicker within a
// session, with a late part of minutes (a choice on measured figures).
func Old() Spread {
	s := Ordinary()
	s.Noise, s.Tau, s.Decimals = Span{0.003, 0.008}, Span{8, 20}, []int{2}
	s.SlowShare, s.SlowTau, s.LnDrift = Span{0.05, 0.10}, Span{60, 300}, math.Ln2
	return s
}

// Gappy is an ordinary bench whose meter pauses now and then (measured: 606
// pauses over 5 s in 7,469 readings).
func Gappy() Spread {
	s := Ordinary()
	s.Gaps = 0.08
	return s
}

// DefaultTruth draws an ordinary bench for the setup, the same for the same seed.
func DefaultTruth(setup *recipe.Setup, seed uint64) Truth {
	return Ordinary().Draw(setup, seed)
}

// rinsed is the pH that the electrode comes from: a buffer of pH 7.
const rinsed = 7.0

// Draw draws a bench for the setup, the same for the same seed.
func (s Spread) Draw(setup *recipe.Setup, seed uint64) Truth {
	r := rand.New(rand.NewPCG(seed, 0x7272))
	n := r.NormFloat64
	t := Truth{
		Seed: seed, LnAmount: s.Amount * n(), Excess: s.Excess * n(), LnVolume: s.Volume * n(),
		Scatter: s.Scatter, Poured: s.Poured, Offset: s.Offset * n(), Slope: s.Slope * n(),
		Noise: s.Noise.draw(r), Tau: s.Tau.draw(r), Mixing: s.Mixing.draw(r),
		Decimals: s.Decimals[r.IntN(len(s.Decimals))],
		Before:   rinsed, Temp: setup.BenchTemp, TempSent: true,
	}
	t.SlowShare, t.SlowTau = s.SlowShare.draw(r), s.SlowTau.draw(r)
	t.LnDrift = s.LnDrift * (2*r.Float64() - 1)
	t.Offset += s.Calibration * (2*r.Float64() - 1)
	t.Pickup, t.Gaps = s.Pickup.draw(r), s.Gaps
	for _, st := range setup.Stocks {
		for len(t.LnDrop) <= st.Dropper {
			t.LnDrop = append(t.LnDrop, s.LnDrop*n())
		}
		t.LnStrength = append(t.LnStrength, s.LnStrength*n())
	}
	t.PKShift = map[string][]float64{}
	for _, sys := range setup.Systems() {
		shift := make([]float64, len(sys.Steps))
		for i := range shift {
			shift[i] = s.PK * n()
		}
		t.PKShift[sys.Name] = shift
	}
	if setup.Plan.Find != nil {
		return s.sought(setup, t)
	}
	return t
}

// shifted are copies of the systems with the constants of this beaker.
func (t *Truth) shifted(systems []*chem.System) []*chem.System {
	out := make([]*chem.System, len(systems))
	for i, s := range systems {
		c := *s
		c.Steps = append([]chem.Step(nil), s.Steps...)
		for j, d := range t.PKShift[s.Name] {
			if j < len(c.Steps) {
				c.Steps[j] = c.Steps[j].Moved(d)
			}
		}
		out[i] = &c
	}
	return out
}

// at is the element i of a list that may be short: errors not given are none.
func at(list []float64, i int) float64 {
	if i < len(list) {
		return list[i]
	}
	return 0
}

// tempAt is the temperature of the beaker at time t, s.
func (t *Truth) tempAt(s float64) chem.Celsius {
	if t.Warm == 0 || t.CoolTau <= 0 {
		return t.Temp
	}
	return t.Temp + chem.Celsius(t.Warm*math.Exp(-s/t.CoolTau))
}
