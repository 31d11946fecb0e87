package sim

import (
	"context"
	"math"
	"strconv"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/nernst"
)

// Sample takes one reading as a meter on a line sends it. Its At is left open.
func (b *Bench) Sample() meter.Reading {
	b.mu.Lock()
	defer b.mu.Unlock()
	y := b.read()
	r := meter.Reading{Value: roundTo(y, b.truth.Decimals), Decimals: b.truth.Decimals, HasTemp: b.truth.TempSent}
	temp := b.tempShown()
	if r.HasTemp {
		r.TempC = temp
	}
	mv := func() float64 { return roundTo(nernst.MV(y, chem.Celsius(temp)), 1) }
	switch b.sends {
	case SendMV:
		r.Quantity, r.Value, r.Decimals = meter.Millivolt, mv(), 1
	case SendBoth:
		r.MV, r.HasMV = mv(), true
	}
	r.Raw = line(r)
	return r
}

// line is a reading as text: "pH 7.02 25.1 C", "-1.2 mV 25.1 C" or
// "pH 7.02 -1.2 mV 25.1 C".
func line(r meter.Reading) string {
	var raw [48]byte
	b := raw[:0]
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

// TempShown is the temperature of the beaker as the meter has it, to 0.1 °C.
func (b *Bench) TempShown() float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.tempShown()
}

func (b *Bench) tempShown() float64 {
	return roundTo(float64(b.tempAt(b.t))+offByC*b.has(wrongTemp, b.t), 1)
}

// source is a bench as a meter on a line.
type source struct {
	bench *Bench
	clock *Clock
	every float64 // s on the clock
}

// Wire ties the bench to a clock, at whose time additions happen from then on, and says
// what its meter sends.
func (b *Bench) Wire(clock *Clock, sends Sends) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.clock, b.sends = clock, sends
}

// Source makes the bench a meter that sends a reading every so often, in time
// on the clock; from then on additions happen at the time on the clock. The
// readings are taken at exact multiples of every, however late they are sent.
func (b *Bench) Source(clock *Clock, every time.Duration) meter.Source {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.clock = clock
	return &source{bench: b, clock: clock, every: max(every, time.Millisecond).Seconds()}
}

// String names the source for people.
func (s *source) String() string { return "simulated bench" }

// Run sends readings until ctx ends.
func (s *source) Run(ctx context.Context, out chan<- meter.Report) error {
	t := s.bench.Time()
	live := meter.Report{Kind: meter.GotLink, Link: meter.Live, At: s.clock.Time(t)}
	if err := send(ctx, out, live); err != nil {
		return err
	}
	for n := int(math.Ceil(t / s.every)); ; n++ {
		t := float64(n) * s.every
		if err := s.clock.wait(ctx, t); err != nil {
			return err
		}
		s.bench.Advance(t)
		r := s.bench.Sample()
		r.At = s.clock.Time(t)
		if err := send(ctx, out, meter.Report{Kind: meter.GotReading, At: r.At, Reading: r}); err != nil {
			return err
		}
	}
}

func send(ctx context.Context, out chan<- meter.Report, r meter.Report) error {
	select {
	case out <- r:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
