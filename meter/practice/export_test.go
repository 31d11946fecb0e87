package practice

import (
	"example.org/halfdrop/meter/replay"
)

// Genuine is the share of the readings of a run that are those of its bench.
func Genuine(r *replay.Run) (float64, error) {
	s, err := SlipOf(r.First)
	if err != nil {
		return 0, err
	}
	e, err := s.Open()
	if err != nil {
		return 0, err
	}
	return e.genuine(r, s), nil
}

// SameShare is the share below which a run is flagged.
const SameShare = sameShare
