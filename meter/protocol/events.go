package protocol

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
)

// event is what a line of input says happened.
func (a *Filter) event(q request) (journal.Event, error) {
	said := map[string]bool{}
	var bad []error
	undo, amendment, err := trueOrCode("undo", q.Undo)
	said["undo"], bad = undo, append(bad, err)
	for key, raw := range map[string]json.RawMessage{"dosing": q.Dosing, "declined": q.Declined, "immersed": q.Immersed, "go_on": q.GoOn} {
		yes, err := isTrue(key, raw)
		said[key], bad = yes, append(bad, err)
	}
	confirm, code, err := trueOrCode("confirm", q.OK)
	if err := errors.Join(append(bad, err)...); err != nil {
		return journal.Event{}, err
	}
	check, err := checkOf(q.Check)
	if err != nil {
		return journal.Event{}, err
	}
	bottle := len(q.Bottle) > 0 && string(q.Bottle) != "null"
	warm := q.Typed && q.PH == nil && q.MV == nil && q.TempC != nil
	things := 0
	for _, has := range []bool{q.PH != nil || q.MV != nil, q.Added != nil, confirm, bottle, check != nil, warm, said["undo"], said["dosing"], said["declined"], said["immersed"], said["go_on"]} {
		if has {
			things++
		}
	}
	switch {
	case q.T == nil:
		return journal.Event{}, errors.New(`no "t": each line needs the time in seconds`)
	case !(*q.T >= 0 && *q.T < 1e9):
		return journal.Event{}, fmt.Errorf("t = %g is not a time in seconds", *q.T)
	case *q.T < a.keeper.State.T:
		return journal.Event{}, fmt.Errorf("t = %g runs backwards, after %g", *q.T, a.keeper.State.T)
	case things != 1:
		return journal.Event{}, errors.New(`a line needs one of "ph", "mv", "added", "dosing", "declined", "undo", "confirm", "bottle", "immersed", "go_on" and "check"`)
	case q.MarkML != 0 && (!confirm || code != ""):
		return journal.Event{}, errors.New(`"mark_ml" goes with "confirm":true`)
	}
	e := journal.Event{T: *q.T}
	switch {
	case q.Added != nil:
		return a.added(*q.T, *q.Added)
	case said["undo"] && amendment != "":
		e, _, err := a.keeper.State.Unamending(*q.T, amendment)
		return e, err
	case said["undo"]:
		return a.undo(*q.T)
	case confirm && code != "":
		e, _, err := a.keeper.State.Confirming(*q.T, code)
		return e, err
	case confirm:
		e, _, err := a.keeper.State.Passing(*q.T, q.MarkML)
		return e, err
	case said["dosing"]:
		e.Kind = journal.Dosing
		return e, a.keeper.State.CanDose()
	case said["declined"]:
		e.Kind = journal.Declined
		return e, a.keeper.State.CanDose()
	case said["immersed"]:
		e.Kind = journal.Immersed
		return e, nil
	case said["go_on"]:
		return a.keeper.State.Urging(*q.T)
	case warm:
		e.Kind, e.TempC = journal.Warmed, q.TempC
		return e, nil
	case check != nil:
		return check.event(*q.T, a.keeper)
	case bottle:
		e, err := bottled(*q.T, q.Bottle)
		if err != nil {
			return e, err
		}
		e, known := a.keeper.State.WithKnown(e, a.memory.Recall())
		for _, w := range known {
			fmt.Fprintln(a.talk, "halfdrop: known: "+w)
		}
		return e, nil
	}
	return a.reading(q)
}

// trueOrCode reads the value of a key that takes true, or the code of what it is about.
func trueOrCode(key string, raw json.RawMessage) (yes bool, code string, err error) {
	if json.Unmarshal(raw, &code) == nil && code != "" {
		return true, code, nil
	}
	if yes, err = isTrue(key, raw); err != nil {
		err = fmt.Errorf("%w; or the code of what it is about", err)
	}
	return yes, "", err
}

func bottled(t float64, raw json.RawMessage) (journal.Event, error) {
	var b recipe.Titrant
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&b); err != nil {
		return journal.Event{}, fmt.Errorf(`"bottle": %w`, err)
	}
	return run.BottleEvent(t, b)
}

func isTrue(key string, raw json.RawMessage) (bool, error) {
	switch s := string(bytes.TrimSpace(raw)); s {
	case "", "null", "false":
		return false, nil
	case "true":
		return true, nil
	default:
		return false, fmt.Errorf("%q: must be true, not %s", key, s)
	}
}

func (a *Filter) added(t float64, q addedRequest) (journal.Event, error) {
	var drops, ml float64
	switch {
	case q.Drops != nil && q.ML != nil:
		return journal.Event{}, errors.New(`"added": give either "drops" or "ml", not both`)
	case q.Drops != nil:
		drops = *q.Drops
	case q.ML != nil:
		ml = *q.ML
	default:
		return journal.Event{}, errors.New(`"added": give "drops" or "ml"`)
	}
	if !(drops > 0 || ml > 0) {
		return journal.Event{}, errors.New(`"added": the amount must be above zero`)
	}
	if q.From != nil && !(*q.From >= 0 && *q.From <= t) {
		return journal.Event{}, fmt.Errorf(`"added": "from" %g is not between 0 and %g`, *q.From, t)
	}
	add, err := a.keeper.State.Addition(q.Titrant, drops, ml)
	if err != nil {
		return journal.Event{}, err
	}
	if d := a.keeper.State.Doubt(add, nil); d != nil && !q.Sure {
		return journal.Event{}, fmt.Errorf(`%w, more with "sure":true`, d)
	}
	add.From = q.From
	return a.keeper.State.Dated(journal.Event{T: t, Kind: journal.Added, Added: &add}), nil
}

func (a *Filter) undo(t float64) (journal.Event, error) {
	e, ok := a.keeper.State.Latest()
	if !ok {
		return journal.Event{}, run.ErrNothing
	}
	return journal.Event{T: t, Kind: journal.Undone, Undo: &journal.Undo{Seq: e.Seq}}, nil
}

func (a *Filter) reading(q request) (journal.Event, error) {
	switch {
	case q.Stands && !q.Typed:
		return journal.Event{}, errors.New(`"stands" is for values with "typed":true`)
	case q.Typed && q.PH == nil:
		return journal.Event{}, errors.New(`a value read off a display needs "ph"`)
	}
	r := &journal.Reading{TempC: q.TempC, Typed: q.Typed, Stands: q.Stands}
	var err error
	known := a.decimals
	if q.PH != nil {
		if r.PH, err = a.number(*q.PH); err != nil {
			return journal.Event{}, err
		}
	}
	if q.MV != nil {
		if r.MV, err = a.number(*q.MV); err != nil {
			return journal.Event{}, err
		}
	}
	r.Decimals = a.decimals
	if q.Typed {
		_, frac, _ := strings.Cut(q.PH.String(), ".")
		if d := a.keeper.State.Slip(*q.T, *r.PH, len(frac)); d != nil && (d.Never || !q.Sure) {
			a.decimals = known // its digits are none of the display
			return journal.Event{}, d
		}
	}
	run.Refuse(r)
	return journal.Event{T: *q.T, Kind: journal.Read, Reading: r}, nil
}

// number reads a value and learns the resolution of the meter: JSON drops
// trailing zeros, so the most decimals seen so far are what counts.
func (a *Filter) number(n json.Number) (*float64, error) {
	v, err := n.Float64()
	if err != nil || math.IsInf(v, 0) {
		return nil, fmt.Errorf("%q is not a number", n.String())
	}
	if _, frac, ok := strings.Cut(n.String(), "."); ok && !strings.ContainsAny(frac, "eE") {
		a.decimals = min(max(a.decimals, len(frac)), 6)
	}
	return &v, nil
}
