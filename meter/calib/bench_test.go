package calib_test

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"example.org/halfdrop/meter"
)

// The bench on which calibrations are tried: an electrode, a meter and hands,
// written apart from what they judge. It knows nothing of package calib or probe.

// ideal is the slope of an ideal electrode, mV per pH: 59.16 at 25 °C, 0.1984
// more for each °C (USP <791>).
func ideal(tempC float64) float64 { return 59.16 + 0.1984*(tempC-25) }

// pool is a liquid at a temperature.
type pool struct {
	ph     float64
	drift  float64 // pH/s, by which it moves
	noise  float64 // mV, more than the electrode has: unbuffered, badly conducting
	wander float64 // mV per root second
}

// glass is an electrode: behind a film of liquid most of it follows quickly,
// and a share of it late.
type glass struct {
	r *rand.Rand

	slope, offset    float64 // share of the ideal; mV at pH 7
	film, fast, late float64 // s
	share            float64 // of the late part
	later            float64 // of it that comes three times later still
	noise            float64 // mV, of one reading
	dead             float64 // share of the potential that does not reach the meter: a crack, a cap

	t, near, f, l, l3, walk float64
	in                      pool
	tempC                   float64
}

func (g *glass) potential(ph float64) float64 {
	return g.offset - (1-g.dead)*g.slope*ideal(g.tempC)*(ph-7)
}

// soaked is the electrode as it comes from a long stay in a liquid.
func (g *glass) soaked(ph float64) {
	g.in = pool{ph: ph}
	g.near = g.potential(ph)
	g.f, g.l, g.l3 = g.near, g.near, g.near
}

// to lets the time pass until t, s, in steps of a twentieth of a second.
func (g *glass) to(t float64) {
	const h = 0.05
	for g.t < t-1e-9 {
		g.t += h
		g.in.ph += g.in.drift * h
		g.walk += g.in.wander * math.Sqrt(h) * g.r.NormFloat64()
		g.near += (g.potential(g.in.ph) - g.near) * -math.Expm1(-h/g.film)
		g.f += (g.near - g.f) * -math.Expm1(-h/g.fast)
		g.l += (g.near - g.l) * -math.Expm1(-h/g.late)
		g.l3 += (g.near - g.l3) * -math.Expm1(-h/(3*g.late))
	}
}

// shows is what the meter gets from it, mV.
func (g *glass) shows() float64 {
	late := (1-g.later)*g.l + g.later*g.l3
	return (1-g.share)*g.f + g.share*late + g.walk + math.Hypot(g.noise, g.in.noise)*g.r.NormFloat64()
}

// box is the meter.
type box struct {
	sends    string // "mv", "ph" or "both"
	digits   int    // of mV
	phDigits int
	every    float64 // s
	temp     bool    // it has a temperature probe
	tempErr  float64 // °C, by which the probe is off
	own      float64 // pH, by which its own calibration is off
	ownSlope float64 // of its own calibration
	ownZero  float64 // mV
}

func rounded(x float64, digits int) float64 {
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}

func (b *box) reads(mv, tempC float64) meter.Reading {
	t := tempC + b.tempErr
	r := meter.Reading{Quantity: meter.Millivolt, Value: rounded(mv, b.digits), Decimals: b.digits}
	if b.sends != "mv" {
		used := t
		if !b.temp {
			used = 25
		}
		ph := 7 - (mv-b.ownZero)/(b.ownSlope*ideal(used)) + b.own
		r = meter.Reading{Quantity: meter.PH, Value: rounded(ph, b.phDigits), Decimals: b.phDigits}
		if b.sends == "both" {
			r.MV, r.HasMV = rounded(mv, b.digits), true
		}
	}
	if b.temp {
		r.TempC, r.HasTemp = rounded(t, 1), true
	}
	return r
}

// between draws from a range, logBetween so that each ratio is as likely.
func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }
func logBetween(r *rand.Rand, low, high float64) float64 {
	return low * math.Exp(r.Float64()*math.Log(high/low))
}

// drawn is an electrode of a wide range, by choice.
func drawn(r *rand.Rand) *glass {
	g := &glass{r: r, slope: between(r, 0.85, 1.02), offset: between(r, -40, 40),
		film: between(r, 0.5, 2), fast: logBetween(r, 1, 40), late: logBetween(r, 40, 250), share: logBetween(r, 0.005, 0.08),
		noise: logBetween(r, 0.1, 2), tempC: between(r, 18, 27)}
	if r.IntN(4) == 0 { // no electrode has read that it has two parts
		g.later = between(r, 0.1, 0.4)
	}
	g.soaked(between(r, 3, 7.5))
	return g
}

// meterOf is a meter for it.
func meterOf(r *rand.Rand, sends string) *box {
	b := &box{sends: sends, digits: 1, phDigits: 2 + r.IntN(2), every: 1, temp: true, tempErr: 0.2 * r.NormFloat64(), ownSlope: 1}
	if r.IntN(3) == 0 {
		b.every = []float64{0.5, 2, 5}[r.IntN(3)]
	}
	return b
}

// runs is how many benches are tried: HALFDROP_RUNS, else what is enough for the gate.
func runs(t *testing.T, gate int) int {
	t.Helper()
	n, err := strconv.Atoi(os.Getenv("HALFDROP_RUNS"))
	if err != nil || n < 1 {
		return gate
	}
	return n
}
