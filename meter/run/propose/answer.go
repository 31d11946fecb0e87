// Package propose makes events of what a person says: each is checked against the state of
// the run and refused, or comes with what it does in words, before anything is on record.
package propose

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/view"
)

// ErrNoCheck is the error of an answer to a CHECK while none is asked.
var ErrNoCheck = errors.New("there is no check to confirm")

// Confirming is what is put on record when a person says that a CHECK is right about what
// the code names: the event, and what it does in words.
func Confirming(s run.State, t float64, code string) (e journal.Event, says string, err error) {
	v := s.Look(t)
	if v.Advice.Do != coach.Check {
		return e, "", ErrNoCheck
	}
	name, ok := v.Called(code)
	if !ok {
		return e, "", fmt.Errorf("the check is not about %q; it is about %s", code, strings.Join(v.Codes(), ", "))
	}
	k, counted := answers.Numbered(code)
	en, found := given.List(v.Entries).InPosition(k)
	switch {
	case counted && !found:
		return e, "", run.ErrNothing
	case counted && strings.HasPrefix(code, answers.Missed):
		return journal.Event{T: t, Kind: journal.Undone, Undo: &journal.Undo{Seq: en.Seq, Reason: "it did not reach the beaker"}},
			"withdrawn: " + view.Amount(en.Drops, en.Volume) + " of " + s.Setup.Stocks[en.Stock].Name + ", which did not reach the beaker", nil
	case answers.Exchanged(code) != "":
		return exchanged(s, t, en, answers.Exchanged(code))
	case counted:
		return answers.Event(t, journal.Amendment{Code: code, Name: name, Seq: en.Seq}), "noted: more was added than is on record; only readings since then count", nil
	case code == view.AtFirst:
		return answers.Event(t, journal.Amendment{Code: code, Name: name}), "noted: another salt is in the beaker; the readings tell which, where they can", nil
	case answers.Misread(code):
		says = "noted: the readings so far were not of the beaker; only those from now on count"
		if code == recipe.Absent {
			says = "noted: the buffer goes in now; let it dissolve. What was read without it is forgotten, what was given stays on record"
		} else if answers.Forgets(code) {
			says = "noted: what the electrode had shown is discarded; calibrate it again before its value counts"
		}
		return answers.Event(t, journal.Amendment{Code: code, Name: name}), says, nil
	case code == answers.WrongTitrant:
		en, ok := given.List(v.Entries).InPosition(1) // it is the first answer that has the wrong sign
		if !ok {
			return e, "", run.ErrNothing
		}
		return amending(s, t, "kind:"+s.Setup.Stocks[en.Stock].Name, name)
	case v.Advice.Reason == coach.Mistaken:
		return amending(s, t, code, name)
	}
	return journal.Event{T: t, Kind: journal.Confirmed}, "noted: as planned; carrying on", nil
}

// exchanged is the event that corrects an addition to the bottle that it was from: as many drops
// of it, or as many mL.
func exchanged(s run.State, t float64, en view.Entry, bottle string) (e journal.Event, says string, err error) {
	ml := 0.0
	if en.Drops == 0 {
		ml = en.Volume.Millilitres()
	}
	c, err := Correction(s, journal.Correction{Seq: en.Seq, To: journal.Addition{Titrant: bottle, Drops: en.Drops, ML: ml}, Reason: "it was from that bottle"})
	if err != nil {
		return e, "", err
	}
	return journal.Event{T: t, Kind: journal.Corrected, Correct: &c},
		"corrected: " + view.Amount(en.Drops, en.Volume) + " were of " + bottle + ", not of " + s.Setup.Stocks[en.Stock].Name, nil
}

// amending is the event that amends the plan by a mistake.
func amending(s run.State, t float64, code, name string) (journal.Event, string, error) {
	x, err := s.Setup.Amendment(code, "")
	if err != nil {
		return journal.Event{}, "", fmt.Errorf("run: %w", err)
	}
	a := journal.Amendment{Code: code, Name: name}
	if x.Weighed != nil {
		a.Weighed, err = json.Marshal(x.Weighed)
	}
	if x.Titrant != nil {
		a.Titrant, err = json.Marshal(x.Titrant)
	}
	if err != nil {
		return journal.Event{}, "", fmt.Errorf("run: %w", err)
	}
	e := answers.Event(t, a)
	if _, err := run.Step(s, e); err != nil { // such as a strength that no bottle has
		return e, "", err
	}
	return e, "the plan is amended: " + name, nil
}

// Passing is what is put on record when a person has looked at a CHECK and found it as
// planned. Where there is no room left that is the agreement to a larger mark, of so
// many mL; 0 takes the one that is proposed.
func Passing(s run.State, t, markML float64) (e journal.Event, says string, err error) {
	v := s.Look(t)
	switch {
	case v.Advice.Do == coach.Check && v.Advice.Reason == coach.NoRoom && (markML != 0 || v.Mark > 0):
		if markML == 0 {
			markML = v.Mark
		}
		if err := answers.MarkOf(s.Planned(), s.Setup).Check(markML); err != nil {
			return e, "", err
		}
		name := fmt.Sprintf("the mark is %g mL, not %s mL", markML, view.Millilitres(s.Setup.Final))
		return answers.Event(t, journal.Amendment{Code: coach.NoRoom.String(), Name: name, FinalML: markML}), name + ": the buffer is thinner for it", nil
	case markML != 0:
		return e, "", errors.New("a new mark is asked for only where there is no room left under the old one")
	}
	return journal.Event{T: t, Kind: journal.Confirmed}, agreed(&v), nil
}

// agreed is what a person has said by it, in the words of the answer that was offered.
func agreed(v *view.View) string {
	for _, r := range v.Replies() {
		if r.Key == "c" {
			return "noted: " + v.Question().Asks + ": " + r.Short
		}
	}
	return "noted; carrying on"
}
