package walk

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/course"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/phrase"
)

// Gather follows the readings of an electrode in one standard. What the dips
// before taught of the electrode, and where they left its late part, counts in
// this one as well. Its methods change it in place; it is for one goroutine.
type Gather struct {
	Standard standards.Standard
	Byhand   chem.Celsius // temperature to take when the meter sends none

	since   float64         // s, when the person said that the electrode was in
	list    []course.Sample // all readings since, as mV
	earlier []course.Dip    // of the dips before
	left    float64         // s, of the last reading of the dip before; NaN for none

	decimals int
	mv       bool // potentials come, alone or beside a pH
	shown    bool // a pH comes
	fixed    bool // the temperature given by hand goes before the one that is sent
	tempC    float64
	hasTemp  bool
	badTemp  float64 // °C, the latest that cannot be one; NaN for none
	pairs    float64 // sum of pH shown minus ideal pH of the mV sent beside it
	last     meter.Reading

	now   course.Dip  // as fitted last
	ends  course.Ends // of all dips, this one the last
	given Estimate    // as made last
	known int         // readings that it rests on
}

// Temperatures that a standard on a bench can have, °C: as the run has it. A
// probe that is broken or unplugged often says 0.0 or far more than 60.
const (
	coldest = 0.5
	hottest = 60.0
)

// NewGather begins at time t, s, when the electrode was put into the standard.
func NewGather(s standards.Standard, t float64, byHand chem.Celsius) *Gather {
	return &Gather{Standard: s, Byhand: byHand, since: t, left: math.NaN(), badTemp: math.NaN()}
}

// after lets it go on from the dips before.
func (g *Gather) after(earlier []course.Dip, left float64) *Gather {
	g.earlier, g.left = earlier, left
	return g
}

// Push takes a reading at time t, s. One without a usable number is passed over.
func (g *Gather) Push(t float64, r meter.Reading) {
	if !r.Usable() {
		return
	}
	if r.HasTemp {
		g.warm(r.TempC)
	}
	y := potential(r, g.Temp())
	g.last = r
	g.mv = r.Quantity == meter.Millivolt || r.HasMV
	g.shown = r.Quantity == meter.PH
	if g.mv && g.shown {
		g.pairs += r.Value - nernst.PH(y, g.Temp())
	}
	g.decimals = max(g.decimals, r.Decimals)
	g.list = append(g.list, course.Sample{T: t, Y: y})
}

// warm takes a temperature that came with a reading.
func (g *Gather) warm(t float64) {
	if g.fixed {
		return
	}
	if !(t >= coldest && t <= hottest) {
		g.badTemp = t
		return
	}
	if !g.hasTemp {
		g.tempC, g.hasTemp = t, true
	}
	g.badTemp = math.NaN()
	g.tempC += 0.2 * (t - g.tempC)
}

// potential is a reading as the potential of an electrode, mV: as sent, else
// that of an ideal electrode at the pH that the meter shows.
func potential(r meter.Reading, t chem.Celsius) float64 {
	switch {
	case r.Quantity == meter.Millivolt:
		return r.Value
	case r.HasMV:
		return r.MV
	}
	return nernst.MV(r.Value, t)
}

// resolution is the last digit of what is followed, mV.
func (g *Gather) resolution() float64 {
	switch {
	case g.mv && g.shown:
		return 0.1 // digits of mV beside a pH are not told; 0.1 is usual
	case g.mv:
		return math.Pow10(-g.decimals)
	}
	return math.Pow10(-g.decimals) * nernst.Slope(g.Temp())
}

// Temp is the temperature of the standard as measured, else as given by hand.
func (g *Gather) Temp() chem.Celsius {
	if g.measured() {
		return chem.Celsius(g.tempC)
	}
	return g.Byhand
}

// measured reports whether the temperature is one that the meter sends.
func (g *Gather) measured() bool { return g.hasTemp && !g.fixed }

// BadTemp is a temperature that the meter sent and that cannot be one; NaN when
// the latest was none of that kind, or a person has given one.
func (g *Gather) BadTemp() float64 {
	if g.fixed {
		return math.NaN()
	}
	return g.badTemp
}

// Since is when the electrode was put into the standard, s.
func (g *Gather) Since() float64 { return g.since }

// Last is the latest usable reading.
func (g *Gather) Last() (meter.Reading, bool) { return g.last, len(g.list) > 0 }

// Estimate is what the readings say of the end value.
type Estimate struct {
	Known bool    // there is one; else only Now means something
	MV    float64 // mV that the electrode will come to
	SD    float64 // mV, its standard deviation
	Now   float64 // mV, the reading now, without its noise
	Noise float64 // mV, standard deviation of one reading
	Tau   float64 // s, time constant of the fast part
	Late  float64 // share of the late part
	Rate  float64 // mV a minute by which it moves
	RateS float64 // and the standard error of that
}

// fitEvery is how often the readings are judged anew, s of theirs; later, when
// little changes, less often.
const (
	fitEvery = 1.9  // a smaller one only costs time
	fitLater = 0.04 // of the time since the dip
)

// Estimate judges the readings so far; it is a second or two old at the most.
func (g *Gather) Estimate() Estimate {
	n := len(g.list)
	if n > 0 && (g.known == 0 || g.list[n-1].T-g.list[g.known-1].T >= max(fitEvery, fitLater*(g.list[n-1].T-g.since))) {
		g.given, g.known = g.estimate(), n
	}
	return g.given
}

func (g *Gather) estimate() Estimate {
	e := Estimate{SD: math.Inf(1), Now: g.shownLately(), RateS: math.Inf(1)}
	bins := course.Binned(g.list)
	if len(bins) < course.LeastIn {
		return e
	}
	first, _ := course.Start(bins)
	bins = slices.Clone(bins[first:])
	from := bins[0].T
	for i := range bins {
		bins[i].T -= from
	}
	g.now = course.Dip{Bins: bins, Step: g.resolution()}
	if len(g.earlier) > 0 {
		g.now.Gap = max(0, from-g.left)
	}
	ends, ok := course.Joint(append(slices.Clip(g.earlier), g.now))
	if !ok {
		return e
	}
	g.ends = ends
	i := ends.N - 1
	e.Known, e.MV, e.SD, e.Noise = true, ends.MV[i], math.Sqrt(ends.Cov[i][i]), ends.SD
	e.Tau, e.Late = ends.Fast, ends.Late
	rate, se := g.slope()
	e.Rate, e.RateS = 60*rate, 60*se
	return e
}

// rateSpan is how long a rate of change is looked at, s (choice).
const rateSpan = 15.0

// slope is the rate of change over the last seconds, mV/s, with its standard
// error.
func (g *Gather) slope() (rate, se float64) {
	var n, mt, my float64
	lately := g.lately(rateSpan)
	for _, b := range lately {
		n, mt, my = n+1, mt+b.T, my+b.Y
	}
	if n < 4 {
		return 0, math.Inf(1)
	}
	var tt, ty, yy float64
	for _, b := range lately {
		dt, dy := b.T-mt/n, b.Y-my/n
		tt, ty, yy = tt+dt*dt, ty+dt*dy, yy+dy*dy
	}
	rate = ty / tt
	return rate, math.Sqrt(max(0, yy-rate*ty) / (n - 2) / tt)
}

// lately are the readings of the last seconds, one at the least.
func (g *Gather) lately(span float64) []course.Sample {
	i := len(g.list)
	for i > 0 && (i == len(g.list) || g.list[len(g.list)-1].T-g.list[i-1].T <= span) {
		i--
	}
	return g.list[i:]
}

// shownSpan is over how long what is shown is the mean, s (choice).
const shownSpan = 3.0

// shownLately is the mean of what was shown over the last seconds, mV.
func (g *Gather) shownLately() float64 {
	lately := g.lately(shownSpan)
	sum := 0.0
	for _, b := range lately {
		sum += b.Y
	}
	return sum / float64(len(lately))
}

// Point is the point of the readings so far. With asItIs it is what the meter
// shows now, at the word of a person, and its spread is what that may be worth:
// the noise, and how far it is from where it will end. The error is that of
// Standard.PH, or ErrValue without a reading.
func (g *Gather) Point(now float64, asItIs bool) (calib.Point, error) {
	if len(g.list) == 0 {
		return calib.Point{}, calib.ErrValue
	}
	t := chem.Celsius(phrase.Decimals(float64(g.Temp()), 1))
	p, err := calib.NewPoint(g.Standard, t)
	if err != nil {
		return p, err
	}
	e := g.Estimate()
	mv, sd := e.MV, e.SD
	if asItIs || !e.Known {
		p.ByHand = true
		mv, sd = g.asItIs(e)
	}
	p.TempByHand, p.Seconds = !g.measured(), phrase.Decimals(now-g.since, 1)
	p.TauS, p.Late = phrase.Decimals(e.Tau, 1), phrase.Decimals(e.Late, 4)
	if e.Known {
		p.Hiss, p.Restless = phrase.Decimals(g.now.Hiss(), 3), g.drifting(e)
	}
	p.Read(calib.Rest{MV: mv, SD: sd, Sent: g.mv})
	if g.shown {
		ph := phrase.Decimals(nernst.PH(mv, t), 4)
		if g.mv {
			ph = phrase.Decimals(nernst.PH(mv, t)+g.pairs/float64(len(g.list)), 4)
		}
		p.Shown = &ph
	}
	return p, nil
}

// handSD is the spread of a value that was read off before anything is known of
// where it will end, mV: 0.1 pH (choice).
const handSD = 6.0

// asItIs is what is shown now, mV, and what that is worth.
func (g *Gather) asItIs(e Estimate) (mv, sd float64) {
	mv = g.shownLately() // the estimate may be some seconds old
	if !e.Known {
		return mv, handSD
	}
	n := float64(len(g.lately(shownSpan)))
	return mv, math.Sqrt(e.Noise*e.Noise/n + e.SD*e.SD + (mv-e.MV)*(mv-e.MV))
}
