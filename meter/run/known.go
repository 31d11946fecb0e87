package run

import (
	"encoding/json"
	"fmt"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/brought"
)

// takeOver takes over what the start event says is known from earlier runs.
func (s *State) takeOver(known json.RawMessage) error {
	if len(known) == 0 {
		return nil
	}
	t, err := brought.Taken(known)
	if err != nil {
		return fmt.Errorf("run: what the journal takes over: %w", err)
	}
	s.taken = &t
	return nil
}

// Taken is what was taken over from earlier runs; nil for nothing.
func (s State) Taken() *bench.Taken { return s.taken }

// Electrode is what is known of the electrode by what it has shown.
func (s State) Electrode() probe.Electrode { return s.track.Electrode() }
