package run

import (
	"fmt"

	"example.org/halfdrop/meter/journal"
)

func (s *Session) carryOut() {
	s.mu.Lock()
	list := s.intents
	s.intents = nil
	s.mu.Unlock()
	for _, in := range list {
		text, err := s.do(in)
		s.answer(in, text, err)
		s.last.Heard = max(s.last.Heard, in.ID)
	}
}

func (s *Session) do(in Intent) (string, error) {
	t := s.now()
	switch in.Kind {
	case WantAdd:
		return s.add(in, t)
	case WantUndo:
		return s.undo(in, t)
	case WantConfirm:
		return s.confirm(in, t)
	case WantCorrect:
		return s.correct(in, t)
	case WantRemark:
		return remarked(in), s.keeper.Take(journal.Event{T: t, Kind: journal.Remarked, Remark: &journal.Remark{Text: in.Text, Code: in.Code}})
	case WantEnd:
		if err := s.finish(t); err != nil {
			return "", err
		}
		return "", s.keeper.Take(s.keeper.State.Ending(t, in.Text))
	case WantDose:
		if err := s.dose(t); err != nil {
			return "", err
		}
		return "", s.letFall(in)
	case WantDecline:
		return s.decline(t)
	case WantImmersed:
		if d, ok := s.bench.(Dipper); ok && s.keeper.State.Away() {
			d.Back()
		}
		return "noted: the electrode is in the beaker now", s.keeper.Immerse(t)
	case WantGoOn:
		e, err := s.keeper.State.Urging(t)
		if err != nil {
			return "", err
		}
		return "", s.keeper.Take(e)
	case WantWarm:
		temp := in.TempC
		return fmt.Sprintf("the beaker is at %.1f °C", temp), s.keeper.Take(journal.Event{T: t, Kind: journal.Warmed, TempC: &temp})
	case WantCheck:
		return "", s.check(in, t)
	case WantUnamend:
		return s.take(s.keeper.State.Unamending(t, in.Code))
	case WantNote:
		return s.note(in, t)
	case WantBottle:
		return s.bottle(in, t)
	case WantRead:
		return s.read(in, t)
	}
	return "", nil
}

func (s *Session) add(in Intent, t float64) (string, error) {
	if s.giving != nil && s.giving.told {
		return "", errFalling
	}
	a, err := s.keeper.State.Addition(in.Titrant, in.Drops, in.ML)
	if err != nil {
		return "", err
	}
	if d := s.keeper.State.Doubt(a, nil); d != nil && !in.Sure {
		return "", d
	}
	if s.drips() && a.Drops > 0 {
		return "", s.give(in, a, t)
	}
	if err := s.record(in, t); err != nil || s.bench == nil {
		return "", err
	}
	return "", s.bench.Dispense(a.Titrant, a.Drops, a.ML)
}

// record puts an addition on record that is in the beaker, and says so.
func (s *Session) record(in Intent, t float64) error {
	a, err := s.keeper.State.Addition(in.Titrant, in.Drops, in.ML)
	if err != nil {
		return err
	}
	if err := s.keeper.Take(s.keeper.State.Dated(journal.Event{T: t, Kind: journal.Added, Added: &a})); err != nil {
		return err
	}
	e := s.keeper.State.entries[len(s.keeper.State.entries)-1]
	s.answer(in, "recorded: "+Amount(e.Drops, e.Volume)+" of "+a.Titrant, nil)
	return nil
}

// dose notes that the first drop of the order falls; the next ones say nothing new.
func (s *Session) dose(t float64) error {
	if err := s.keeper.State.CanDose(); err != nil || s.keeper.State.order.dosed > 0 {
		return err
	}
	return s.keeper.Take(journal.Event{T: t, Kind: journal.Dosing})
}

func (s *Session) decline(t float64) (string, error) {
	if err := s.keeper.State.CanDose(); err != nil {
		return "", err
	}
	if s.giving != nil {
		if s.giving.told {
			return "", errFalling
		}
		if err := s.takeBack(); err != nil {
			return "", err
		}
	}
	return "noted: none of it was given", s.keeper.Take(journal.Event{T: t, Kind: journal.Declined})
}

func (s *Session) undo(in Intent, t float64) (string, error) {
	if s.giving != nil && s.giving.told {
		return "", errFalling
	}
	e, ok := s.keeper.State.Latest()
	if !ok {
		return "", ErrNothing
	}
	if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Undone, Undo: &journal.Undo{Seq: e.Seq, Reason: in.Text}}); err != nil {
		return "", err
	}
	name := s.keeper.State.Setup.Stocks[e.Stock].Name
	if s.bench != nil {
		if err := s.bench.Retract(name, e.Drops, e.Volume.Millilitres()); err != nil {
			return "", err
		}
	}
	return "withdrawn: " + Amount(e.Drops, e.Volume) + " of " + name, nil
}

// remarked is what a person is told of a remark.
func remarked(in Intent) string {
	if in.Code != "" {
		return in.Text
	}
	return "remark recorded"
}

// Latest is the latest addition in force.
func (s State) Latest() (Entry, bool) {
	for i := len(s.entries) - 1; i >= 0; i-- {
		if !s.entries[i].Undone {
			return s.entries[i], true
		}
	}
	return Entry{}, false
}

// Addition is what the journal records for drops, or for mL when drops is 0,
// of a titrant of the plan.
func (s State) Addition(titrant string, drops, ml float64) (journal.Addition, error) {
	a := journal.Addition{Titrant: titrant, Drops: drops, ML: ml}
	e, err := s.entry(a)
	if err != nil {
		return a, fmt.Errorf("run: %w", err)
	}
	a.ML = round(e.Volume.Millilitres(), 6)
	return a, nil
}
