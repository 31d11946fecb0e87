package session

import (
	"errors"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/typed"
)

// Shelf is a Dispenser that can be given another bottle.
type Shelf interface {
	Bring(recipe.Stock) error
}

func (s *Session) bottle(in intent.Intent, t float64) (string, error) {
	b, err := typed.Bottle(in.Text)
	if err != nil {
		return "", err
	}
	e, err := brought.Event(t, brought.Named(b, s.keeper.State.Setup.Stocks))
	if err != nil {
		return "", err
	}
	e, known := propose.WithKnown(s.keeper.State, e, s.Recall)
	shelf, ok := s.bench.(Shelf)
	if s.bench != nil && !ok {
		return "", errors.New("the simulated bench has only the bottles of the plan")
	}
	if err := s.keeper.Take(e); err != nil {
		return "", err
	}
	st := s.keeper.State.Setup.Stocks
	if ok {
		if err := shelf.Bring(st[len(st)-1]); err != nil {
			return "", err
		}
	}
	return strings.Join(append([]string{"available from now on: " + st[len(st)-1].Name}, known...), "; known: "), nil
}
