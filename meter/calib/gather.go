package calib

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/probe"
)

// Gather follows the readings of an electrode in one standard until they have
// settled. It is a value that its methods change in place, for one goroutine.
type Gather struct {
	Standard Standard
	Byhand   chem.Celsius // temperature to take when the meter sends none
	track    probe.Tracker
	since    float64
	lately   []sample // of the last stillSpan seconds

	decimals int
	mv       bool // potentials come, alone or beside a pH
	shown    bool // a pH comes
	n        int
	tempC    float64
	hasTemp  bool
	pairs    float64 // sum of pH shown minus ideal pH of the mV sent beside it
	last     meter.Reading
}

// sample is a reading as an ideal pH.
type sample struct{ t, y float64 }

// NewGather begins at time t, s, when the electrode was put into the standard.
func NewGather(s Standard, t float64, byHand chem.Celsius, e probe.Electrode) *Gather {
	return &Gather{Standard: s, Byhand: byHand, track: probe.Track(e), since: t}
}

// Push takes a reading at time t, s. One without a usable number is passed over.
func (g *Gather) Push(t float64, r meter.Reading) {
	if !r.Usable() {
		return
	}
	if r.HasTemp && r.TempC > -5 && r.TempC < 100 {
		if !g.hasTemp {
			g.tempC, g.hasTemp = r.TempC, true
		}
		g.tempC += 0.2 * (r.TempC - g.tempC)
	}
	y := Ideal(r, g.Temp())
	g.n++
	g.last = r
	g.mv = r.Quantity == meter.Millivolt || r.HasMV
	g.shown = r.Quantity == meter.PH
	if g.mv && g.shown {
		g.pairs += r.Value - y
	}
	g.decimals = max(g.decimals, r.Decimals)
	g.track = g.track.Resolve(g.resolution()).Push(t, y)
	g.lately = append(g.lately, sample{t, y})
	for t-g.lately[0].t > stillSpan {
		g.lately = g.lately[1:]
	}
}

// Ideal is a reading as the pH that an ideal electrode would have: the mV when
// there are any, else the pH itself.
func Ideal(r meter.Reading, t chem.Celsius) float64 {
	switch {
	case r.Quantity == meter.Millivolt:
		return IdealPH(r.Value, t)
	case r.HasMV:
		return IdealPH(r.MV, t)
	}
	return r.Value
}

// resolution is the last digit of what is followed, pH.
func (g *Gather) resolution() float64 {
	switch {
	case g.mv && g.shown:
		return 0.1 / NernstSlope(g.Temp()) // digits of mV beside a pH are not told; 0.1 is usual
	case g.mv:
		return math.Pow10(-g.decimals) / NernstSlope(g.Temp())
	}
	return math.Pow10(-g.decimals)
}

// Temp is the temperature of the standard as measured, else as given by hand.
func (g *Gather) Temp() chem.Celsius {
	if g.hasTemp {
		return chem.Celsius(g.tempC)
	}
	return g.Byhand
}

// Since is when the electrode was put into the standard, s.
func (g *Gather) Since() float64 { return g.since }

// Count is the number of readings used.
func (g *Gather) Count() int { return g.n }

// Last is the latest usable reading.
func (g *Gather) Last() (meter.Reading, bool) { return g.last, g.n > 0 }

// Estimate judges the readings at time now, s, in ideal pH.
func (g *Gather) Estimate(now float64) probe.Estimate { return g.track.Estimate(now) }

// Rate of change from which on a reading is moving, pH/s, and how long it is
// looked at, s: 0.02 pH a minute, about 1 mV (choice; no published limit for
// buffers was found).
const (
	stillRate = 0.02 / 60
	stillSpan = 12.0
)

// slope is the rate of change over the last seconds, pH/s, with its standard error.
func (g *Gather) slope(now float64) (rate, se float64) {
	var n, mt, my float64
	bins := g.lately
	for _, b := range bins {
		n, mt, my = n+1, mt+b.t, my+b.y
	}
	if n < 4 {
		return 0, math.Inf(1)
	}
	var tt, ty, yy float64
	for _, b := range bins {
		dt, dy := b.t-mt/n, b.y-my/n
		tt, ty, yy = tt+dt*dt, ty+dt*dy, yy+dy*dy
	}
	rate = ty / tt
	return rate, math.Sqrt(max(0, yy-rate*ty) / (n - 2) / tt)
}

// moving reports whether the reading moves beyond doubt, faster than stillRate.
func (g *Gather) moving(now float64) bool {
	rate, se := g.slope(now)
	return math.Abs(rate) > stillRate && math.Abs(rate) > 3*se
}

// Learned is what these readings teach of the electrode for the next standard.
func (g *Gather) Learned() probe.Electrode { return g.track.Electrode() }

// Point is the settled point as estimated at time now, or with asItIs what the
// meter shows then, which a person took for settled. The error is that of
// Standard.PH, or ErrValue without a reading.
func (g *Gather) Point(now float64, asItIs bool) (Point, error) {
	if g.n == 0 {
		return Point{}, ErrValue
	}
	t := chem.Celsius(math.Round(float64(g.Temp())*10) / 10)
	p, err := NewPoint(g.Standard, t)
	if err != nil {
		return p, err
	}
	e := g.Estimate(now)
	p.ByHand = asItIs
	if asItIs {
		e.End = g.shownLately(now)
	}
	p.TempByHand, p.SD, p.TauS, p.Seconds = !g.hasTemp, round(e.SD, 4), round(e.Tau, 1), round(now-g.since, 1)
	if g.mv {
		mv := round(IdealMV(e.End, t), 2)
		p.MV = &mv
	}
	if g.shown {
		ph := round(e.End, 4)
		if g.mv {
			ph = round(e.End+g.pairs/float64(g.n), 4)
		}
		p.Shown = &ph
	}
	return p, nil
}

// shownLately is the mean of what was shown over the last seconds.
func (g *Gather) shownLately(now float64) float64 {
	const span = 3.0
	sum, n := 0.0, 0.0
	for i, b := range g.lately {
		if now-b.t <= span || i == len(g.lately)-1 {
			sum, n = sum+b.y, n+1
		}
	}
	return sum / n
}

func round(x float64, digits int) float64 {
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}

// tenth is a number to one decimal that is never minus zero.
func tenth(x float64) float64 { return round(x, 1) + 0 }
