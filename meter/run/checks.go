package run

import (
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// lookAtCheck works out what an answer to the CHECK in sight would lead to, where
// that is to be said before.
func (s *State) lookAtCheck(v *view.View, est probe.Estimate) {
	if v.Advice.Do != coach.Check {
		return
	}
	switch v.Advice.Reason {
	case coach.NoRoom:
		v.Mark = s.roomier(est)
	case coach.DropTooBig:
		if a := s.instead(est); a.Do == coach.Add {
			v.Instead = &view.Instead{Drops: a.Drops, Volume: a.Volume, Titrant: s.Setup.Stocks[a.Stock].Name, After: a.After, Chance: a.Chance}
		}
	}
}
