package class

import (
	"fmt"
	"math"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
)

// Figures of a season, a choice of this project.
const (
	enough   = 80.0 // points with which an exercise counts as done
	skipping = 1    // exercises of a step that may be left out
	keeps    = 0.6  // weight of the latest result of a skill against what was before
)

// Standing is what a pupil has shown so far.
type Standing struct {
	Best   map[string]float64 // points, by the name of the exercise
	Tries  map[string]int
	Skills map[practice.Skill]float64 // share from 0 to 1, the latest results counting most; missing when not shown
}

// NewStanding is that of somebody who has done nothing yet.
func NewStanding() Standing {
	return Standing{Best: map[string]float64{}, Tries: map[string]int{}, Skills: map[practice.Skill]float64{}}
}

// Take adds a result; they come in the order in which they were made.
func (s *Standing) Take(exercise string, points float64, skills map[practice.Skill]score.Share) {
	s.Tries[exercise]++
	s.Best[exercise] = math.Max(points, s.Best[exercise])
	for k, x := range skills {
		if !(x.Of > 0) {
			continue
		}
		part := x.Part()
		if old, ok := s.Skills[k]; ok {
			part = keeps*part + (1-keeps)*old
		}
		s.Skills[k] = part
	}
}

// Weakest is the skill that has been shown least; false before any was.
func (s Standing) Weakest() (practice.Skill, float64, bool) {
	low, at := math.Inf(1), practice.Skill("")
	for _, k := range practice.Skills {
		if x, ok := s.Skills[k]; ok && x < low {
			low, at = x, k
		}
	}
	return at, low, at != ""
}

// Next is what should be done next, and why. It is an exercise of the first step
// that is not done yet, the one that asks most for what the pupil can do least; nil
// when all is done.
func (s Standing) Next(all []*practice.Exercise) (*practice.Exercise, string) {
	step := s.step(all)
	if step == 0 {
		return nil, "all steps are done"
	}
	weak, share, any := s.Weakest()
	var best *practice.Exercise
	most := -1.0
	for _, e := range all {
		if e.Level != step || s.Best[e.Name] >= enough {
			continue
		}
		want := 0.0
		if any && share < 0.9 {
			want = e.Weighs(weak)
		}
		want -= 0.1 * float64(s.Tries[e.Name]) // something else for once
		if want > most {
			best, most = e, want
		}
	}
	why := fmt.Sprintf("step %d, %s", step, practice.StepName(step))
	switch {
	case s.Tries[best.Name] > 0:
		why = fmt.Sprintf("once more: %.0f points so far", s.Best[best.Name])
	case any && share < 0.9 && best.Weighs(weak) > 0:
		why = fmt.Sprintf("%s is at %.0f %%", weak, 100*share)
	}
	return best, why
}

// step is the first step in which more is to be done than may be left out.
func (s Standing) step(all []*practice.Exercise) int {
	left := 0 // the first in which something was left out
	for step := 1; step <= practice.Steps; step++ {
		open := 0
		for _, e := range all {
			if e.Level == step && s.Best[e.Name] < enough {
				open++
			}
		}
		if open > skipping {
			return step
		}
		if open > 0 && left == 0 {
			left = step
		}
	}
	return left
}
