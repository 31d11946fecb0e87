package run

import (
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// keepsOff reports whether hands off was said of this composition and nothing
// speaks against it: near the edge, and for one odd reading, it does not come and go.
func (s *State) keepsOff(est probe.Estimate) bool {
	if !s.handsOff() || s.track.Changing() || est.State == probe.Empty || est.SD >= view.VagueSD { // of that nothing is said
		return false
	}
	if s.beyond > 0 && s.T-s.beyond >= beyondFor {
		return false
	}
	return math.Abs(est.End-s.advice.Aim) <= s.bench.Tolerance+offSDs*est.SD
}

// Figures of judgement of taking hands off back, a choice of this project: by how many
// standard deviations a reading has to end outside the tolerance before it is at once, and
// for how long, s, it has to end outside at all when its spread is no more than this part
// of the tolerance.
const (
	offSDs      = 1.5
	beyondFor   = 20.0
	beyondShare = 0.5
)

// handsOff reports whether hands off was said last of this composition.
func (s *State) handsOff() bool {
	return s.advice != nil && coach.ReasonOf(s.advice.Reason) == coach.HandsOff
}

// watchEdge notes since when the reading is thought to end outside the tolerance, well
// known, while hands are kept off it.
func (s *State) watchEdge(t float64) {
	if !s.handsOff() {
		s.beyond = 0
		return
	}
	s.edge(t, s.estimate(t))
}

// edge is watchEdge with an estimate.
func (s *State) edge(t float64, est probe.Estimate) {
	switch {
	case math.Abs(est.End-s.advice.Aim) <= s.bench.Tolerance || est.SD > beyondShare*s.bench.Tolerance:
		s.beyond = 0
	case s.beyond == 0:
		s.beyond = t
	}
}
