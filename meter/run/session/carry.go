package session

import (
	"fmt"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/typed"
	"example.org/halfdrop/meter/run/view"
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

func (s *Session) do(in intent.Intent) (string, error) {
	t := s.now()
	switch in.Kind {
	case intent.Add:
		return s.add(in, t)
	case intent.Undo:
		return s.undo(in, t)
	case intent.Confirm:
		return s.confirm(in, t)
	case intent.Correct:
		return s.correct(in, t)
	case intent.Remark:
		return remarked(in), s.keeper.Take(journal.Event{T: t, Kind: journal.Remarked, Remark: &journal.Remark{Text: in.Text, Code: in.Code}})
	case intent.End:
		if err := s.finish(t); err != nil {
			return "", err
		}
		return "", s.keeper.Take(propose.Ending(s.keeper.State, t, in.Text))
	case intent.Dose:
		if err := s.dose(t); err != nil {
			return "", err
		}
		return "", s.letFall(in)
	case intent.Decline:
		return s.decline(t)
	case intent.Immersed:
		if d, ok := s.bench.(Dipper); ok && s.keeper.State.Away() {
			d.Back()
		}
		return "noted: the electrode is in the beaker now", s.keeper.Immerse(t)
	case intent.GoOn:
		e, err := propose.Urging(s.keeper.State, t)
		if err != nil {
			return "", err
		}
		return "", s.keeper.Take(e)
	case intent.Warm:
		temp := in.TempC
		return fmt.Sprintf("the beaker is at %.1f °C", temp), s.keeper.Take(journal.Event{T: t, Kind: journal.Warmed, TempC: &temp})
	case intent.Check:
		return "", s.check(in, t)
	case intent.Unamend:
		return s.take(s.keeper.State.Unamending(t, in.Code))
	case intent.Note:
		return s.note(in, t)
	case intent.Bottle:
		return s.bottle(in, t)
	case intent.Read:
		return s.read(in, t)
	}
	return "", nil
}

func (s *Session) add(in intent.Intent, t float64) (string, error) {
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
	return "", s.bench.Dispense(a.Titrant, a.Drops, chem.Volume(a.ML)*chem.Millilitre)
}

// record puts an addition on record that is in the beaker, and says so.
func (s *Session) record(in intent.Intent, t float64) error {
	a, err := s.keeper.State.Addition(in.Titrant, in.Drops, in.ML)
	if err != nil {
		return err
	}
	if err := s.keeper.Take(propose.Dated(s.keeper.State, journal.Event{T: t, Kind: journal.Added, Added: &a})); err != nil {
		return err
	}
	e, _ := s.keeper.State.Latest()
	s.answer(in, "recorded: "+view.Amount(e.Drops, e.Volume)+" of "+a.Titrant, nil)
	return nil
}

// dose notes that the first drop of the order falls; the next ones say nothing new.
func (s *Session) dose(t float64) error {
	if err := propose.CanDose(s.keeper.State); err != nil || s.keeper.State.Falls() {
		return err
	}
	return s.keeper.Take(journal.Event{T: t, Kind: journal.Dosing})
}

func (s *Session) decline(t float64) (string, error) {
	if err := propose.CanDose(s.keeper.State); err != nil {
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

func (s *Session) undo(in intent.Intent, t float64) (string, error) {
	if s.giving != nil && s.giving.told {
		return "", errFalling
	}
	e, ok := s.keeper.State.Latest()
	if !ok {
		return "", run.ErrNothing
	}
	if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Undone, Undo: &journal.Undo{Seq: e.Seq, Reason: in.Text}}); err != nil {
		return "", err
	}
	name := s.keeper.State.Setup.Stocks[e.Stock].Name
	if s.bench != nil {
		if err := s.bench.Retract(name, e.Drops, e.Volume); err != nil {
			return "", err
		}
	}
	return "withdrawn: " + view.Amount(e.Drops, e.Volume) + " of " + name, nil
}

// remarked is what a person is told of a remark.
func remarked(in intent.Intent) string {
	if in.Code != "" {
		return in.Text
	}
	return "remark recorded"
}

// confirm answers a check.
func (s *Session) confirm(in intent.Intent, t float64) (string, error) {
	if in.Code != "" {
		return s.take(propose.Confirming(s.keeper.State, t, in.Code))
	}
	return s.take(propose.Passing(s.keeper.State, t, in.ML))
}

// take puts an event on record, and says what it does.
func (s *Session) take(e journal.Event, says string, err error) (string, error) {
	if err != nil {
		return "", err
	}
	var gone view.Entry // an addition that turned out never to have come into the beaker
	if e.Kind == journal.Undone {
		gone, _ = s.keeper.State.InForce(e.Undo.Seq)
	}
	if err := s.keeper.Take(e); err != nil || gone.Seq == 0 || s.bench == nil {
		return says, err
	}
	return says, s.bench.Retract(s.keeper.State.Setup.Stocks[gone.Stock].Name, gone.Drops, gone.Volume)
}

// note puts a line on record.
func (s *Session) note(in intent.Intent, t float64) (string, error) {
	n, err := typed.Note(s.keeper.State.Setup, in.Text)
	if err != nil {
		return "", err
	}
	if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Noted, Note: &n}); err != nil {
		return "", err
	}
	if but := typed.Against(s.keeper.State.Setup, n); but != "" {
		return "on record: " + in.Text + "; " + but, nil
	}
	return "on record: " + in.Text, nil
}

// read takes a value that a person has typed, unless it is to be asked about.
func (s *Session) read(in intent.Intent, t float64) (string, error) {
	if d := s.keeper.State.Slip(t, typed.Value{PH: in.PH, Decimals: in.Decimals, Stands: in.Stands}); d != nil && (d.Never || !in.Sure) {
		return "", d
	}
	ph := in.PH
	r := &journal.Reading{PH: &ph, Decimals: in.Decimals, Typed: true, Stands: in.Stands}
	if err := s.keeper.Take(journal.Event{T: t, Kind: journal.Read, Reading: r}); err != nil {
		return "", err
	}
	how := "taken"
	if in.Stands {
		how = "taken as steady"
	}
	return fmt.Sprintf("%.*f %s", in.Decimals, in.PH, how), nil
}
