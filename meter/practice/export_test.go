package practice

import (
	"example.org/halfdrop/meter/replay"
)

// Genuine is the share of the readings of a run that are those of its bench; none where
// their noise is not.
func Genuine(r *replay.Run) (float64, error) {
	s, err := SlipOf(r.First)
	if err != nil {
		return 0, err
	}
	e, err := s.Open()
	if err != nil {
		return 0, err
	}
	share, alike := e.genuine(r, s)
	if !alike {
		share = 0
	}
	return share, nil
}

// SameShare is the share below which a run is flagged.
const SameShare = sameShare
