package protocol

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/typed"
	"example.org/halfdrop/meter/run/view"
)

// thing is one thing that a line of input may say: under which keys, whether this one
// does, and the event that it is at a time, s. A line says one of them.
type thing struct {
	keys  []string
	said  bool
	event func(t float64) (journal.Event, error)
}

// key is the key by which a line says it.
func (x thing) key(q request) string {
	switch {
	case len(x.keys) == 0:
		return "temp_c"
	case len(x.keys) == 2 && q.PH == nil:
		return x.keys[1]
	}
	return x.keys[0]
}

// event is what a line of input says happened; its time becomes that of the run.
func (a *Filter) event(q *request) (journal.Event, error) {
	late := a.clock.take(q, a.keeper.State.T)
	list, err := a.things(*q)
	if err = cmp.Or(err, late); err != nil {
		return journal.Event{}, err
	}
	var keys []string
	var said []thing
	for _, x := range list {
		if keys = append(keys, x.keys...); x.said {
			said = append(said, x)
		}
	}
	switch {
	case len(said) > 1:
		return journal.Event{}, fmt.Errorf(`a line says one thing, and this one has "%s" and "%s": a line for each`, said[0].key(*q), said[1].key(*q))
	case len(said) == 0 && q.TempC != nil:
		return journal.Event{}, errors.New(`"temp_c" goes with "ph" or "mv"; alone it needs "typed":true, as read off a thermometer`)
	case len(said) == 0:
		last := len(keys) - 1
		return journal.Event{}, fmt.Errorf(`a line needs one of "%s" and "%s"`, strings.Join(keys[:last], `", "`), keys[last])
	}
	return said[0].event(*q.T)
}

// things are all that a line may say, a row each.
func (a *Filter) things(q request) ([]thing, error) {
	var bad []error
	yes := func(key string, raw json.RawMessage) bool {
		yes, err := isTrue(key, raw)
		bad = append(bad, err)
		return yes
	}
	undo, amendment, err := trueOrCode("undo", q.Undo)
	bad = append(bad, err)
	confirm, code, err := trueOrCode("confirm", q.OK)
	bad = append(bad, err)
	check, err := checkOf(q.Check)
	bad = append(bad, err)
	if q.MarkML != 0 && (!confirm || code != "") {
		bad = append(bad, errors.New(`"mark_ml" goes with "confirm":true`))
	}
	canDose := func() error { return propose.CanDose(a.keeper.State) }
	plain := func(k journal.Kind, can func() error) func(float64) (journal.Event, error) {
		return func(t float64) (journal.Event, error) { return journal.Event{T: t, Kind: k}, can() }
	}
	list := []thing{
		{[]string{"ph", "mv"}, q.PH != nil || q.MV != nil, func(float64) (journal.Event, error) { return a.reading(q) }},
		{[]string{"added"}, q.Added != nil, func(t float64) (journal.Event, error) { return a.added(t, *q.Added) }},
		{[]string{"dosing"}, yes("dosing", q.Dosing), plain(journal.Dosing, canDose)},
		{[]string{"declined"}, yes("declined", q.Declined), plain(journal.Declined, canDose)},
		{[]string{"undo"}, undo, func(t float64) (journal.Event, error) { return a.undo(t, amendment) }},
		{[]string{"confirm"}, confirm, func(t float64) (journal.Event, error) { return a.confirm(t, code, q.MarkML) }},
		{[]string{"bottle"}, len(q.Bottle) > 0 && string(q.Bottle) != "null", func(t float64) (journal.Event, error) { return a.bottled(t, q.Bottle) }},
		{[]string{"immersed"}, yes("immersed", q.Immersed), plain(journal.Immersed, func() error { return nil })},
		{[]string{"go_on"}, yes("go_on", q.GoOn), func(t float64) (journal.Event, error) { return propose.Urging(a.keeper.State, t) }},
		{[]string{"same"}, yes("same", q.Same), a.same},
		{[]string{"check"}, check != nil, func(t float64) (journal.Event, error) { return check.event(t, a.keeper) }},
		// A temperature alone, off a thermometer: it goes with typed values, and no key is its own.
		{nil, q.Typed && q.PH == nil && q.MV == nil && q.TempC != nil, func(t float64) (journal.Event, error) {
			return journal.Event{T: t, Kind: journal.Warmed, TempC: q.TempC}, nil
		}},
	}
	return list, errors.Join(bad...)
}

func (a *Filter) confirm(t float64, code string, markML float64) (e journal.Event, err error) {
	if code != "" {
		e, _, err = propose.Confirming(a.keeper.State, t, code)
		return e, err
	}
	e, _, err = propose.Passing(a.keeper.State, t, markML)
	return e, err
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

// bottled is another titrant, with what earlier runs have shown of it.
func (a *Filter) bottled(t float64, raw json.RawMessage) (journal.Event, error) {
	var b recipe.Titrant
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&b); err != nil {
		return journal.Event{}, fmt.Errorf(`"bottle": %w`, err)
	}
	e, err := brought.Event(t, b)
	if err != nil {
		return e, err
	}
	e, known := propose.WithKnown(a.keeper.State, e, a.memory.Recall())
	for _, w := range known {
		fmt.Fprintln(a.talk, "halfdrop: known: "+w)
	}
	return e, nil
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
	add, err := a.keeper.State.Addition(q.Titrant, drops, ml)
	if errors.Is(err, given.ErrNoTitrant) {
		names := phrase.Each(a.keeper.State.Setup.Stocks, func(s recipe.Stock) string { return strconv.Quote(s.Name) })
		return journal.Event{}, fmt.Errorf(`%w; "titrant" is one of %s`, err, strings.Join(names, ", "))
	}
	if err != nil {
		return journal.Event{}, err
	}
	if d := a.keeper.State.Doubt(add, nil); d != nil && !q.Sure {
		return journal.Event{}, fmt.Errorf(`%w, more with "sure":true`, d)
	}
	add.From = q.From
	return propose.Dated(a.keeper.State, journal.Event{T: t, Kind: journal.Added, Added: &add}), nil
}

// undo withdraws an amendment by its code, or the latest addition.
func (a *Filter) undo(t float64, amendment string) (journal.Event, error) {
	if amendment != "" {
		e, _, err := a.keeper.State.Unamending(t, amendment)
		return e, err
	}
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
		if d := a.keeper.State.Slip(*q.T, typed.Value{PH: *r.PH, Decimals: len(frac), Stands: q.Stands}); d != nil && (d.Never || !q.Sure) {
			a.decimals = known // its digits are none of the display
			return journal.Event{}, d
		}
	}
	recorded.Refuse(r)
	return journal.Event{T: *q.T, Kind: journal.Read, Reading: r}, nil
}

// same is the reading that the meter sent last, once more.
func (a *Filter) same(t float64) (journal.Event, error) {
	r, ok := a.keeper.State.Unchanged()
	if !ok {
		return journal.Event{}, errors.New(`"same" before a reading: there is none that it could be the same as`)
	}
	return journal.Event{T: t, Kind: journal.Read, Reading: &r}, nil
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

// Found is what is known so far, in the line protocol: mol/L of a bottle or mol of a
// substance, its standard deviation, and the main equivalence point.
type Found struct {
	Name  string   `json:"name"`
	Value float64  `json:"value"`
	SD    float64  `json:"sd"`
	PK    *float64 `json:"pk,omitempty"`
	PKSD  *float64 `json:"pk_sd,omitempty"`
	ML    *float64 `json:"equivalence_ml,omitempty"`
	MLSD  *float64 `json:"equivalence_sd_ml,omitempty"`
	Both  bool     `json:"read_on_both_sides"`
}

func answerOf(f *view.Finding) *Found {
	if f == nil || finite(f.Value) == nil || finite(f.SD) == nil {
		return nil
	}
	a := &Found{Name: f.Name, Value: f.Value, SD: f.SD, Both: f.Passed}
	if f.What == find.Constant {
		a.PK, a.PKSD = finite(f.PK), finite(f.PKSD)
	}
	if f.Main >= 0 {
		s := f.Stations[f.Main]
		a.ML, a.MLSD = finite(s.Volume.Millilitres()), finite(s.SD.Millilitres())
	}
	return a
}
