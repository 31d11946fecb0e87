package sim

import (
	"context"
	"sync"
	"time"
)

// Clock is simulated time: seconds that pass faster or slower than those of
// the wall, and stop when paused. It may be used from several goroutines.
type Clock struct {
	mu      sync.Mutex
	speed   float64
	start   time.Time // wall time of second 0
	base    time.Time // wall time of second at
	at      float64
	paused  bool
	changed chan struct{} // closed when the pace changes
}

// Every is how often the simulated meter sends a reading, in its own time, where
// nothing else is wanted.
const Every = 500 * time.Millisecond

// NewClock starts a clock at 0 s that runs speed times as fast as the wall's;
// a speed that is not above 0 is taken as 1.
func NewClock(speed float64) *Clock {
	if !(speed > 0) {
		speed = 1
	}
	now := time.Now()
	return &Clock{speed: speed, start: now, base: now, changed: make(chan struct{})}
}

// From is the clock, just started, as one that stands at a second already.
func (c *Clock) From(at float64) *Clock {
	c.at, c.start = at, c.base.Add(-time.Duration(at*float64(time.Second)))
	return c
}

// Seconds is the time on the clock, s.
func (c *Clock) Seconds() float64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.seconds()
}

func (c *Clock) seconds() float64 {
	if c.paused {
		return c.at
	}
	return c.at + time.Since(c.base).Seconds()*c.speed
}

// Time is the time of day at a second of the clock, had it run at the wall's
// pace from its start.
func (c *Clock) Time(seconds float64) time.Time {
	return c.start.Add(time.Duration(seconds * float64(time.Second)))
}

// Pause stops the clock.
func (c *Clock) Pause() { c.set(func() { c.paused = true }) }

// Resume lets it go on.
func (c *Clock) Resume() { c.set(func() { c.paused = false }) }

// Paused reports whether the clock stands.
func (c *Clock) Paused() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.paused
}

func (c *Clock) set(change func()) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at, c.base = c.seconds(), time.Now()
	change()
	close(c.changed)
	c.changed = make(chan struct{})
}

// wait returns when the clock has come to t, or with ctx's error.
func (c *Clock) wait(ctx context.Context, t float64) error {
	for {
		c.mu.Lock()
		left, paused, changed := t-c.seconds(), c.paused, c.changed
		left /= c.speed
		c.mu.Unlock()
		if left <= 0 {
			return ctx.Err()
		}
		var due <-chan time.Time
		if !paused {
			due = time.After(time.Duration(left*float64(time.Second)) + 1)
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-changed:
		case <-due:
		}
	}
}
