package sim

import (
	"context"
	"math"
	"math/rand/v2"
	"strconv"
	"sync"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/nernst"
)

// Sends says what the meter of a Probe sends.
type Sends uint8

// The kinds of meters.
const (
	SendPH   Sends = iota // pH by a calibration inside, with the errors of the truth
	SendMV                // the potential of the electrode, not calibrated
	SendBoth              // both on one line
)

// Probe is the electrode of a bench that a person can take out of the beaker,
// rinse and put into a standard. It may be used from several goroutines.
type Probe struct {
	mu    sync.Mutex
	bench *Bench
	clock *Clock
	sends Sends
	noise *rand.Rand

	place place
	ph    float64 // of the standard it stands in
	gap   float64 // what it showed too much when it was last moved, pH
	moved float64 // when that was, s
}

// place is where the electrode is.
type place uint8

const (
	inBeaker place = iota
	inStandard
	inRinse
)

// Figures of an electrode in demineralised water (choice): a slow, unsteady
// reading near the pH of water with carbon dioxide from the air.
const (
	rinsePH    = 5.8
	rinseNoise = 8.0 // times the noise in a buffer
)

// NewProbe ties the electrode of a bench to a clock; from then on additions
// happen at the time of the clock.
func NewProbe(b *Bench, clock *Clock, sends Sends) *Probe {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.clock = clock
	return &Probe{bench: b, clock: clock, sends: sends, noise: rand.New(rand.NewPCG(b.truth.Seed, 0x9b0b))}
}

// Into puts the electrode into a standard of a pH.
func (p *Probe) Into(ph float64) { p.move(inStandard, ph) }

// Rinse holds it into demineralised water.
func (p *Probe) Rinse() { p.move(inRinse, rinsePH) }

// Back puts it into the beaker.
func (p *Probe) Back() { p.move(inBeaker, 0) }

// InBeaker reports whether it stands in the beaker.
func (p *Probe) InBeaker() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.place == inBeaker
}

func (p *Probe) move(to place, ph float64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	t := p.clock.Seconds()
	was := p.shown(t)
	p.place, p.ph, p.moved, p.gap = to, ph, t, 0
	p.gap = was - p.shown(t)
}

// shown is what the meter would show at time t without noise, pH: the bench or
// the standard, and what is left of where the electrode came from.
func (p *Probe) shown(t float64) float64 {
	p.bench.Advance(t)
	y := p.bench.Shown()
	if p.place != inBeaker {
		y = p.bench.Displayed(p.ph)
	}
	tau := p.bench.truth.Tau
	if p.place == inRinse {
		tau *= 3
	}
	if tau > 0 {
		y += p.gap * math.Exp(-(t-p.moved)/tau)
	}
	return y
}

// Sample is a reading now, as the meter sends it. Its At is left open.
func (p *Probe) Sample() meter.Reading {
	p.mu.Lock()
	defer p.mu.Unlock()
	t := p.clock.Seconds()
	y := p.shown(t)
	if noise := p.bench.noisy(p.noise); p.place == inRinse {
		y += rinseNoise * noise
	} else {
		y += noise
	}
	temp := p.bench.TempShown()
	r := meter.Reading{Value: roundTo(y, p.bench.truth.Decimals), Decimals: p.bench.truth.Decimals}
	mv := roundTo(nernst.MV(y, chem.Celsius(temp)), 1)
	switch p.sends {
	case SendMV:
		r = meter.Reading{Quantity: meter.Millivolt, Value: mv, Decimals: 1}
	case SendBoth:
		r.MV, r.HasMV = mv, true
	}
	r.HasTemp, r.TempC = p.bench.truth.TempSent, temp
	r.Raw = line(r)
	return r
}

// TempShown is the temperature of the beaker, to 0.1 °C.
func (b *Bench) TempShown() float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.tempShown()
}

func roundTo(x float64, digits int) float64 {
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}

// line is a reading as text: "pH 7.02 25.1 C", "-1.2 mV 25.1 C" or
// "pH 7.02 -1.2 mV 25.1 C".
func line(r meter.Reading) string {
	var b []byte
	if r.Quantity == meter.PH {
		b = strconv.AppendFloat(append(b, "pH "...), r.Value, 'f', r.Decimals, 64)
	} else {
		b = append(strconv.AppendFloat(b, r.Value, 'f', 1, 64), " mV"...)
	}
	if r.HasMV {
		b = append(strconv.AppendFloat(append(b, ' '), r.MV, 'f', 1, 64), " mV"...)
	}
	if r.HasTemp {
		b = append(strconv.AppendFloat(append(b, ' '), r.TempC, 'f', 1, 64), " C"...)
	}
	return string(b)
}

// Source makes the electrode a meter that sends a reading every so often, in
// time on the clock.
func (p *Probe) Source(every time.Duration) meter.Source {
	return &probeSource{probe: p, every: max(every, time.Millisecond).Seconds()}
}

type probeSource struct {
	probe *Probe
	every float64
}

// String names the source for people.
func (s *probeSource) String() string { return "simulated bench" }

// Run sends readings until ctx ends.
func (s *probeSource) Run(ctx context.Context, out chan<- meter.Report) error {
	clock := s.probe.clock
	for n := math.Ceil(clock.Seconds() / s.every); ; n++ {
		if err := clock.wait(ctx, n*s.every); err != nil {
			return err
		}
		r := s.probe.Sample()
		r.At = clock.Time(clock.Seconds())
		if err := send(ctx, out, meter.Report{Kind: meter.GotReading, At: r.At, Reading: r}); err != nil {
			return err
		}
	}
}
