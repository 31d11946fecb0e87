package propose

import (
	"encoding/json"
	"errors"
	"fmt"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/brought"
)

// Correction is what the journal records when the addition with a sequence number (0 for
// the latest in force) was not what was keyed: another count ("that was 7, not 6"), another
// titrant, or both. An empty titrant, or drops and mL of 0, leave that part as it was.
func Correction(s run.State, c journal.Correction) (journal.Correction, error) {
	old, ok := s.InForce(c.Seq)
	if !ok {
		return journal.Correction{}, fmt.Errorf("run: %w", run.ErrNothing)
	}
	c.Seq = old.Seq
	if c.To.Titrant == "" {
		c.To.Titrant = s.Setup.Stocks[old.Stock].Name
	}
	if c.To.Drops == 0 && c.To.ML == 0 {
		if c.To.Drops = old.Drops; old.Drops == 0 {
			c.To.ML = old.Volume.Millilitres()
		}
	}
	to, err := s.Addition(c.To.Titrant, c.To.Drops, c.To.ML)
	c.To = to
	return c, err
}

// ErrNothingHeld says that no addition is held back for a better reading.
var ErrNothingHeld = errors.New("nothing is held back now: there is nothing to give before a better reading")

// Urging is the event by which what is safe now is given, at time t; ErrNothingHeld
// where nothing is.
func Urging(s run.State, t float64) (journal.Event, error) {
	if s.Look(t).Offer == nil {
		return journal.Event{}, ErrNothingHeld
	}
	return journal.Event{T: t, Kind: journal.Urged}, nil
}

// Ending is the event that closes a run, with what was read at rest.
func Ending(s run.State, t float64, outcome string) journal.Event {
	end := &journal.End{Outcome: outcome}
	if v := s.AtLast(); v.AtRest {
		r := v.Read
		end.Read = &journal.Value{PH: phrase.Decimals(r.PH, 4), SD: phrase.Decimals(r.SD, 4), T: r.T}
	}
	return journal.Event{T: t, Kind: journal.Ended, End: end}
}

// ErrNoOrder is the error of what is about an order while none stands.
var ErrNoOrder = errors.New("nothing is ordered now")

// CanDose reports whether there is an order that drops can fall of.
func CanDose(s run.State) error {
	if s.Order() == nil {
		return ErrNoOrder
	}
	return nil
}

// WithKnown is the event that brings a bottle, with what is known of that bottle from
// earlier runs, and that in words. Without a recall, and of a bottle without a name, it
// is the event alone.
func WithKnown(s run.State, e journal.Event, recall brought.Recall) (journal.Event, []string) {
	var b recipe.Titrant
	if recall == nil || json.Unmarshal(e.Bottle, &b) != nil || b.Bottle == "" {
		return e, nil
	}
	next, err := run.Step(s, e)
	if err != nil {
		return e, nil // it is refused for itself
	}
	return brought.WithKnown(e, next.Setup, recall)
}

// Dated is an addition with the time of its first movement, as far as somebody
// said so or the readings show it.
func Dated(s run.State, e journal.Event) journal.Event {
	if e.Added == nil || e.Added.From != nil || e.T < s.T {
		return e
	}
	e.Seq = s.Seq + 1
	next, err := run.Step(s, e)
	if err != nil {
		return e
	}
	en, _ := next.Latest()
	if from := phrase.Decimals(en.From, 3); from < e.T {
		a := *e.Added
		a.From = &from
		e.Added = &a
	}
	return e
}
