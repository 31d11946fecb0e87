package session

import (
	"fmt"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/view"
)

// correct restates an addition as the person says it was.
func (s *Session) correct(in intent.Intent, t float64) (string, error) {
	if s.giving != nil && s.giving.told {
		return "", errFalling
	}
	c, err := propose.Correction(s.keeper.State, journal.Correction{Seq: in.Seq, To: journal.Addition{Titrant: in.Titrant, Drops: in.Drops, ML: in.ML}, Reason: in.Text})
	if err != nil {
		return "", err
	}
	old, _ := s.keeper.State.InForce(c.Seq)
	if d := s.keeper.State.Doubt(c.To, &old); d != nil && !in.Sure {
		return "", d
	}
	name := s.keeper.State.Setup.Stocks[old.Stock].Name
	if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Corrected, Correct: &c}); err != nil {
		return "", err
	}
	if s.bench != nil { // the simulated beaker gets what it is said to have got
		if err := s.bench.Retract(name, old.Drops, old.Volume); err != nil {
			return "", err
		}
		if err := s.bench.Dispense(c.To.Titrant, c.To.Drops, chem.Volume(c.To.ML)*chem.Millilitre); err != nil {
			return "", err
		}
	}
	now, _ := s.keeper.State.InForce(c.Seq)
	return fmt.Sprintf("corrected: %s of %s, not %s of %s", view.Amount(now.Drops, now.Volume), c.To.Titrant, view.Amount(old.Drops, old.Volume), name), nil
}
