package run

import (
	"fmt"
	"slices"

	"example.org/halfdrop/meter/journal"
)

// Correction is what the journal records when the addition with sequence
// number seq (0 for the latest in force) was not what was keyed: another count
// ("that was 7, not 6"), another titrant, or both. An empty titrant, or drops
// and ml of 0, leave that part as it was.
func (s State) Correction(seq int64, titrant string, drops, ml float64, reason string) (journal.Correction, error) {
	old, ok := s.inForceBySeq(seq)
	if !ok {
		return journal.Correction{}, fmt.Errorf("run: %w", ErrNothing)
	}
	if titrant == "" {
		titrant = s.Setup.Stocks[old.Stock].Name
	}
	if drops == 0 && ml == 0 {
		if drops = old.Drops; drops == 0 {
			ml = old.Volume.Millilitres()
		}
	}
	to, err := s.Addition(titrant, drops, ml)
	return journal.Correction{Seq: old.Seq, To: to, Reason: reason}, err
}

// inForceBySeq finds an addition that was not withdrawn; 0 is the latest.
func (s State) inForceBySeq(seq int64) (Entry, bool) {
	if seq == 0 {
		return s.Latest()
	}
	i := slices.IndexFunc(s.entries, func(e Entry) bool { return e.Seq == seq && !e.Undone })
	if i < 0 {
		return Entry{}, false
	}
	return s.entries[i], true
}

// correct restates an addition as the person says it was.
func (s *Session) correct(in Intent, t float64) (string, error) {
	if s.giving != nil && s.giving.told {
		return "", errFalling
	}
	c, err := s.keeper.State.Correction(in.Seq, in.Titrant, in.Drops, in.ML, in.Text)
	if err != nil {
		return "", err
	}
	old, _ := s.keeper.State.inForceBySeq(c.Seq)
	if d := s.keeper.State.Doubt(c.To, &old); d != nil && !in.Sure {
		return "", d
	}
	name := s.keeper.State.Setup.Stocks[old.Stock].Name
	if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Corrected, Correct: &c}); err != nil {
		return "", err
	}
	if s.bench != nil { // the simulated beaker gets what it is said to have got
		if err := s.bench.Retract(name, old.Drops, old.Volume.Millilitres()); err != nil {
			return "", err
		}
		if err := s.bench.Dispense(c.To.Titrant, c.To.Drops, c.To.ML); err != nil {
			return "", err
		}
	}
	now, _ := s.keeper.State.inForceBySeq(c.Seq)
	return fmt.Sprintf("corrected: %s of %s, not %s of %s", Amount(now.Drops, now.Volume), c.To.Titrant, Amount(old.Drops, old.Volume), name), nil
}
