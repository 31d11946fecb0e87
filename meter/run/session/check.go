package session

import (
	"errors"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/intent"
)

// Dipper is a simulated bench whose electrode can be taken out of the beaker. A real
// one is moved by the person.
type Dipper interface {
	// Dips reports whether there are standards at the bench.
	Dips() bool
	// Into puts it into a liquid of a pH.
	Into(ph float64)
	// Rinse holds it into water.
	Rinse()
	// Back puts it into the beaker.
	Back()
}

// check takes a step of a check in standards.
func (s *Session) check(in intent.Intent, t float64) error {
	d, dips := s.bench.(Dipper)
	dips = dips && d.Dips()
	switch {
	case s.bench != nil && !dips:
		return errors.New("there are no standards at this simulated plate")
	case s.giving != nil && s.giving.told:
		return errFalling
	}
	step := journal.CheckStep{Step: in.Code}
	if in.Code == journal.StepOut {
		var err error
		if step.Standards, err = s.keeper.State.CheckStandards(in.Text); err != nil {
			return err
		}
	}
	if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Checking, Checking: &step}); err != nil || !dips {
		return err
	}
	switch in.Code {
	case journal.StepIn:
		if ph, ok := s.keeper.State.StandardPH(); ok {
			d.Into(ph)
		}
	case journal.StepOut:
		d.Rinse()
	}
	return nil
}
