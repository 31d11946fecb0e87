package sim

import (
	"context"
	"math"
	"time"

	"example.org/halfdrop/meter"
)

// source is a bench as a meter on a line.
type source struct {
	bench *Bench
	clock *Clock
	every float64 // s on the clock
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
