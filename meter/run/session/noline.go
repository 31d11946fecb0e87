package session

import (
	"context"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/run/recorded"
)

// NoLine is a meter without a line: its readings are typed, and none comes by itself.
type NoLine struct{}

// String is ByHand.
func (NoLine) String() string { return recorded.ByHand }

// Run waits for the end of the context.
func (NoLine) Run(ctx context.Context, _ chan<- meter.Report) error {
	<-ctx.Done()
	return ctx.Err()
}
