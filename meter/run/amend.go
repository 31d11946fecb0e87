package run

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/probe/sift"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/elsewhere"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/scene"
	"example.org/halfdrop/meter/run/still"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// amend takes what turned out to be otherwise than planned. From here on everything
// is worked out with the plan as amended: belief, aim, record and label.
func (s State) amend(e journal.Event) (State, error) {
	if s.ended != nil {
		return s, ErrEnded
	}
	a := *e.Amend
	said, err := s.said.Amend(a)
	if err != nil {
		return s, err
	}
	s.said = said
	if !a.Back && a.Code == view.AtFirst { // it is the beaker that was read: which salt, the coach asks
		s.said, s.advice, s.order = s.said.Agree(elsewhere.Codes...), nil, order.Standing{}
		s.track = s.track.Await(0)
		return s, nil
	}
	if !a.Back && answers.Misread(a.Code) {
		s.said = s.said.LeftAlone(s.suspected(), s.entries, true)
		return s.unread(a.Code, e.T), nil
	}
	setup, err := s.said.Plan(s.planned, s.Setup)
	if err != nil {
		return s, err
	}
	s.Setup = setup
	if err := s.at(s.benchTemp); err != nil {
		return s, err
	}
	s.said = s.said.Known(a.Code).Asked(a)
	s.advice, s.order = nil, order.Standing{}
	s.track = s.track.Await(0)
	s.foretold = scene.Foretell(s.bench)
	return s, nil
}

// unread takes the word of a person that the readings were none of the beaker, and
// are so from now on.
func (s State) unread(code string, t float64) State {
	s.order, s.advice, s.trusted = order.Standing{}, nil, false
	s.still, s.sieve = still.Repeats{}, sift.Sieve{}
	if !answers.Forgets(code) {
		s.track, s.eye = s.track.Await(0).Immerse(t), s.eye.Placed(t)
		return s
	}
	s.observed = nil
	if code == recipe.Absent { // the electrode is well
		s.track, s.eye = s.track.Await(0).Immerse(t), spot.Open(t)
		return s
	}
	s.track, s.eye = probe.Track(probe.Unknown()).Immerse(t), spot.Open(t)
	if s.entries.Count() > 0 {
		s.eye = s.eye.Broken(t) // where the plan begins says nothing of now
	}
	return s
}

// Amendments are what of the plan turned out to be otherwise, in force.
func (s State) Amendments() []journal.Amendment { return s.said.Amended() }

// Unamending is the event that withdraws the amendment of a code, the latest for an
// empty one, and what it does in words.
func (s State) Unamending(t float64, code string) (e journal.Event, says string, err error) {
	return s.said.Unamending(t, code)
}

// Planned is the plan as the person meant it, with the bottles brought since.
func (s State) Planned() recipe.Plan { return s.planned }

// Confirming is what is put on record when a person says that a CHECK is right about what
// the code names: the event, and what it does in words.
func (s State) Confirming(t float64, code string) (e journal.Event, says string, err error) {
	v := s.Look(t)
	if v.Advice.Do != coach.Check {
		return e, "", ErrNoCheck
	}
	name, ok := v.Called(code)
	if !ok {
		return e, "", fmt.Errorf("the check is not about %q; it is about %s", code, strings.Join(v.Codes(), ", "))
	}
	k, counted := answers.Numbered(code)
	en, found := s.entries.InPosition(k)
	switch {
	case counted && !found:
		return e, "", ErrNothing
	case counted && strings.HasPrefix(code, answers.Missed):
		return journal.Event{T: t, Kind: journal.Undone, Undo: &journal.Undo{Seq: en.Seq, Reason: "it did not reach the beaker"}},
			"withdrawn: " + view.Amount(en.Drops, en.Volume) + " of " + s.Setup.Stocks[en.Stock].Name + ", which did not reach the beaker", nil
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
		en, ok := s.entries.InPosition(1) // it is the first answer that has the wrong sign
		if !ok {
			return e, "", ErrNothing
		}
		return s.amending(t, "kind:"+s.Setup.Stocks[en.Stock].Name, name)
	case v.Advice.Reason == coach.Mistaken:
		return s.amending(t, code, name)
	}
	return journal.Event{T: t, Kind: journal.Confirmed}, "noted: as planned; carrying on", nil
}

// amending is the event that amends the plan by a mistake.
func (s *State) amending(t float64, code, name string) (journal.Event, string, error) {
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
	if _, err := s.apply(e); err != nil { // such as a strength that no bottle has
		return e, "", fmt.Errorf("run: %w", err)
	}
	return e, "the plan is amended: " + name, nil
}

// Passing is what is put on record when a person has looked at a CHECK and found it as
// planned. Where there is no room left that is the agreement to a larger mark, of so
// many mL; 0 takes the one that is proposed.
func (s State) Passing(t, markML float64) (e journal.Event, says string, err error) {
	v := s.Look(t)
	switch {
	case v.Advice.Do == coach.Check && v.Advice.Reason == coach.NoRoom && (markML != 0 || v.Mark > 0):
		if markML == 0 {
			markML = v.Mark
		}
		if most := mostMark * s.plannedMark(); !(markML > s.Setup.Final.Millilitres() && markML <= most) {
			return e, "", fmt.Errorf("the new mark must be above %s and at most %.0f mL", view.Millilitres(s.Setup.Final), most)
		}
		name := fmt.Sprintf("the mark is %g mL, not %s mL", markML, view.Millilitres(s.Setup.Final))
		return answers.Event(t, journal.Amendment{Code: coach.NoRoom.String(), Name: name, FinalML: markML}), name + ": the buffer is thinner for it", nil
	case markML != 0:
		return e, "", errors.New("a new mark is asked for only where there is no room left under the old one")
	}
	return journal.Event{T: t, Kind: journal.Confirmed}, "noted: as planned; carrying on", nil
}

// How many times the mark of the plan a new one may be, and one that is proposed: who
// needs more has another bottle in hand than the plan has.
const (
	mostMark = 5
	askMark  = 2
)

// plannedMark is the mark as it was meant, mL.
func (s *State) plannedMark() float64 {
	if ml := s.planned.Beaker.FinalML; ml != nil {
		return *ml
	}
	return s.Setup.Final.Millilitres()
}

// roomier is a mark, mL, under which there is room for what is still needed, as it is
// believed, and to spare; 0 when no mark that could be meant is enough.
func (s *State) roomier(est probe.Estimate) float64 {
	in := s.Setup.Start
	h := s.history()
	for _, a := range h.Additions {
		in += a.Volume
	}
	least := math.Inf(1)
	for j, st := range s.Setup.Stocks {
		if n := s.bench.DropsBetween(h, j, chem.PH(est.End), chem.PH(s.forecast.Aim)); n > 0 {
			least = math.Min(least, n*st.Drop.Millilitres())
		}
	}
	if math.IsInf(least, 1) {
		least = 0.1 * s.Setup.Final.Millilitres()
	}
	mark := math.Max(in.Millilitres()+spareMark*least, 1.02*s.Setup.Final.Millilitres())
	step := math.Pow10(int(math.Floor(math.Log10(mark)))) / 20 // a twentieth: 5 mL of 100
	mark = math.Min(math.Ceil(mark/step)*step, askMark*s.plannedMark())
	if mark <= s.Setup.Final.Millilitres() {
		return 0
	}
	return mark
}

// spareMark is how many times what is needed there is to be room for.
const spareMark = 1.3
