package session

import (
	"fmt"
	"time"

	"example.org/halfdrop/meter/journal"
)

// WatchClock lets the session tell when the clock of the computer is set, which
// touches nothing in the run but should stand in its record. wall is the time
// of day as the computer gives it now. To be called before Run.
func (s *Session) WatchClock(wall func() time.Time) { s.wall = wall }

// clockStep is by how much the clock of the computer must run off the run's own
// to be called set. Slewing by a time service is slower.
const clockStep = 2 * time.Second

// ClockStep is the code of the remark that the clock was set.
const ClockStep = "clock_step"

// watchClock compares the clock of the computer with that of the run.
func (s *Session) watchClock() {
	if s.wall == nil {
		return
	}
	t := s.now()
	ahead := s.wall().Round(0).Sub(s.keeper.At(t).Round(0))
	step := ahead - s.ahead
	if !s.looked || step.Abs() < clockStep {
		if !s.looked {
			s.ahead, s.looked = ahead, true
		}
		return
	}
	s.ahead = ahead
	text := clockWords(step.Round(time.Second))
	s.warn(text, s.keeper.Take(journal.Event{T: t, Kind: journal.Remarked, Remark: &journal.Remark{Text: text, Code: ClockStep}}))
}

// clockWords say by how much the clock was set.
func clockWords(step time.Duration) string {
	if step < 0 {
		return fmt.Sprintf("the computer's clock went back by %v; the run keeps its own time, which is in the record", -step)
	}
	return fmt.Sprintf("the computer's clock went forward by %v, or it slept; the run keeps its own time, which is in the record", step)
}
