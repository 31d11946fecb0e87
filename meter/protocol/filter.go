// Package protocol is the coach as a filter for other programs: one JSON object a
// line in, exactly one a line out.
package protocol

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/shelf"
)

// Source is what a journal calls readings that came as lines.
const Source = "line protocol"

// Filter answers lines.
type Filter struct {
	keeper   *keep.Keeper
	clock    clock
	decimals int
	memory   shelf.Memory
	journal  string
	talk     io.Writer
}

// Open begins a run of the plan in a file. program is its name and version, for the
// record; journalPath is where that is written, nowhere when it is empty. What is to be
// said of what is known of the bench goes to talk. The function closes the record.
func Open(program, planPath, journalPath string, m shelf.Memory, talk io.Writer) (*Filter, func(), error) {
	p, err := planfile.Load(planPath)
	if err == nil {
		err = planfile.Advisable(planPath, p)
	}
	if err != nil {
		return nil, nil, err
	}
	start := time.Now()
	first, err := keep.Begin(p, start, keep.Origin{Program: program, Source: Source})
	if err != nil {
		return nil, nil, err
	}
	if m.Keeps(p.Titrants) {
		if err := m.TakeOver(p, &first, talk); err != nil {
			return nil, nil, err
		}
	}
	log, done := keep.Log(&keep.Discard{}), func() {}
	if journalPath != "" {
		w, err := shelf.CreateJournal(journalPath, &first)
		if err != nil {
			return nil, nil, err
		}
		log, done = w, func() { w.Close() }
	}
	at := func(t float64) time.Time { return start.Add(time.Duration(t * float64(time.Second))) }
	k, err := keep.NewKeeper(first, log, at)
	if err != nil {
		done()
		return nil, nil, err
	}
	return &Filter{keeper: k, memory: m, journal: journalPath, talk: talk}, done, nil
}

// Run answers every line of an input with one line, until the input ends, and closes
// the run then.
func (a *Filter) Run(in io.Reader, out io.Writer) error {
	r := bufio.NewReaderSize(in, maxLine)
	w := bufio.NewWriter(out)
	for {
		line, err := nextLine(r)
		var said error
		switch {
		case err == errLineTooLong:
			said, err = answer(w, Reply{Error: err.Error()}), nil
		case len(bytes.TrimSpace(line)) > 0:
			said = answer(w, a.answer(line))
		case len(line) > 0 && err == nil:
			said = answer(w, Reply{Error: "an empty line; each line must be one JSON object"})
		}
		if err = cmp.Or(said, err); err == io.EOF {
			return a.end()
		}
		if err != nil {
			return fmt.Errorf("advise: %w", err)
		}
	}
}

func (a *Filter) end() error {
	if err := a.keeper.Take(propose.Ending(a.keeper.State, a.keeper.State.T, "end of input")); err != nil {
		return err
	}
	if s := a.keeper.State; a.talk != nil && !s.Looks() && a.memory.Keeps(s.Planned().Titrants) {
		return a.memory.Teach(s, a.journal, a.talk)
	}
	return nil
}

func answer(w *bufio.Writer, r Reply) error {
	b, err := json.Marshal(r)
	if err != nil {
		return err
	}
	w.Write(b)
	w.WriteByte('\n')
	return w.Flush()
}

// request is a line of input.
type request struct {
	T        *float64        `json:"t"`
	PH       *json.Number    `json:"ph"`
	MV       *json.Number    `json:"mv"`
	TempC    *float64        `json:"temp_c"`
	Typed    bool            `json:"typed"`
	Stands   bool            `json:"stands"`
	Sure     bool            `json:"sure"`
	Added    *addedRequest   `json:"added"`
	Undo     json.RawMessage `json:"undo"`
	OK       json.RawMessage `json:"confirm"`
	MarkML   float64         `json:"mark_ml"`
	Dosing   json.RawMessage `json:"dosing"`
	Declined json.RawMessage `json:"declined"`
	Immersed json.RawMessage `json:"immersed"`
	GoOn     json.RawMessage `json:"go_on"`
	Same     json.RawMessage `json:"same"`
	Check    json.RawMessage `json:"check"`
	Bottle   json.RawMessage `json:"bottle"`
}

type addedRequest struct {
	Titrant string   `json:"titrant"`
	Drops   *float64 `json:"drops"`
	ML      *float64 `json:"ml"`
	From    *float64 `json:"from"`
	Sure    bool     `json:"sure"`
}

// Reply is a line of output.
type Reply struct {
	T       *float64 `json:"t,omitempty"`
	Do      string   `json:"do,omitempty"`
	PH      *float64 `json:"ph,omitempty"`
	Settled *bool    `json:"settled,omitempty"`
	Aim     *float64 `json:"aim,omitempty"`
	Titrant string   `json:"titrant,omitempty"`
	Drops   float64  `json:"drops,omitempty"`
	ML      float64  `json:"ml,omitempty"`
	PHAfter *float64 `json:"ph_after,omitempty"`
	PHLow   *float64 `json:"ph_low,omitempty"`
	PHHigh  *float64 `json:"ph_high,omitempty"`
	Reason  string   `json:"reason,omitempty"`
	Why     string   `json:"why,omitempty"`
	Was     float64  `json:"was,omitempty"`
	Like    float64  `json:"like,omitempty"`
	NoMore  bool     `json:"no_more,omitempty"`
	Codes   []string `json:"codes,omitempty"`
	MarkML  float64  `json:"mark_ml,omitempty"`
	Chance  *float64 `json:"chance,omitempty"`
	Amended []string `json:"amended,omitempty"`
	Read    *float64 `json:"read,omitempty"`
	Again   *float64 `json:"again,omitempty"`
	Rest    bool     `json:"at_rest,omitempty"`
	Found   *Found   `json:"found,omitempty"`   // where an amount is looked for
	Away    *Away    `json:"check,omitempty"`   // while the electrode is out of the beaker
	Checked *Checked `json:"checked,omitempty"` // when a check in standards is over, until it is back
	Offer   *Offer   `json:"offer,omitempty"`   // what is safe now, while a better reading is waited for
	Unknown []string `json:"unknown,omitempty"` // keys of the line that the protocol does not know
	Error   string   `json:"error,omitempty"`
}

// Offer is an addition that is safe already.
type Offer struct {
	Check   bool     `json:"check,omitempty"` // a question, or one drop that is not safe yet: no addition
	Titrant string   `json:"titrant,omitempty"`
	Drops   float64  `json:"drops,omitempty"`
	ML      float64  `json:"ml,omitempty"`
	PHAfter *float64 `json:"ph_after,omitempty"`
	Wait    float64  `json:"wait"` // s that the better reading is waited for at most
}

// answer answers one line of input. A key that the protocol does not know changes nothing,
// and is named: it may be a slip.
func (a *Filter) answer(b []byte) Reply {
	r := a.answerTo(b)
	r.Unknown = unknownKeys(b)
	return r
}

// knownKeys are those of a line, in small letters.
var knownKeys = func() map[string]bool {
	out := map[string]bool{}
	for f := range reflect.TypeFor[request]().Fields() {
		out[f.Tag.Get("json")] = true
	}
	return out
}()

// unknownKeys are the keys of an object that are not of the protocol, sorted.
func unknownKeys(b []byte) (out []string) {
	var all map[string]json.RawMessage
	if json.Unmarshal(b, &all) != nil {
		return nil
	}
	for k := range all {
		if !knownKeys[strings.ToLower(k)] {
			out = append(out, k)
		}
	}
	slices.Sort(out)
	return out
}

func (a *Filter) answerTo(b []byte) Reply {
	var q request
	dec := json.NewDecoder(bytes.NewReader(b))
	if err := dec.Decode(&q); err != nil {
		return Reply{Error: phrase.Plain(fmt.Errorf("not a line of the protocol: %w", err)).Error()}
	}
	if _, err := dec.Token(); err != io.EOF {
		return Reply{Error: "more than one JSON object on the line"}
	}
	t := q.T
	e, err := a.event(&q)
	if err == nil {
		err = a.catchUp(e.T)
	}
	switch {
	case err != nil:
	case e.Kind == journal.Immersed:
		err = a.keeper.Immerse(e.T)
	default:
		err = a.keeper.Take(e)
	}
	if err == nil && a.keeper.Alarm != "" {
		err = errors.New(a.keeper.Alarm)
	}
	if err != nil {
		return Reply{T: t, Error: phrase.Plain(err).Error()}
	}
	r := ReplyTo(a.keeper.Look(*q.T))
	r.T = t
	return r
}

// catchUp takes what a meter that sends only what changes has shown until time t, s: a program
// that passes its lines on says nothing meanwhile.
func (a *Filter) catchUp(t float64) error {
	from := a.keeper.State.T
	for now := from + 1; now < math.Min(t, from+longest); now++ {
		if r, ok := a.keeper.State.Unsent(now); ok {
			if err := a.keeper.Take(journal.Event{T: now, Kind: journal.Read, Reading: &r}); err != nil {
				return err
			}
		}
	}
	return nil
}

// longest is the longest silence, s, that is looked through for what it says.
const longest = 600.0

// ReplyTo is a view of a run as a line of output.
func ReplyTo(v view.View) Reply {
	adv := v.Record()
	r := Reply{T: &v.T, Do: adv.Do, Settled: &adv.Settled, Reason: adv.Reason, Why: told(adv.Why),
		Titrant: adv.Titrant, Drops: adv.Drops, ML: adv.ML}
	if n := v.Next; n != nil {
		in := math.Max(0, n.Told())
		r.Again, r.Rest = &in, n.Stands
	}
	r.Found, r.Amended = answerOf(v.Found), v.Amended
	r.Away, r.Checked = awayOf(v)
	if o := v.Offer; o != nil {
		r.Offer = &Offer{o.Asks, o.Titrant, o.Drops, phrase.Decimals(o.Volume.Millilitres(), 6), finite(phrase.Decimals(o.After, 4)), math.Ceil(o.Wait)}
	}
	r.Aim = finite(adv.Aim)
	if v.HasReading {
		r.PH = finite(v.PH)
	}
	switch adv.Do {
	case "add":
		r.PHAfter, r.PHLow, r.PHHigh = finite(adv.PHAfter), finite(adv.PHLow), finite(adv.PHHigh)
		r.Was = v.Was
	case "stop":
		if v.AtRest {
			x := phrase.Decimals(v.Read.PH, 4)
			r.Read = &x
		}
	case "check":
		r.Codes, r.MarkML = v.Codes(), v.Mark
	}
	if i := v.Instead; i != nil && adv.Do == "check" {
		r.Titrant, r.Drops, r.ML, r.PHAfter, r.Chance = i.Titrant, i.Drops, i.Volume.Millilitres(), finite(i.After), finite(i.Chance)
	}
	if f := v.Falling; f != nil && adv.Do == "check" {
		r.Titrant, r.Drops, r.ML, r.Like, r.NoMore = v.Titrant, v.Advice.Drops, v.Advice.Volume.Millilitres(), f.Like, f.Past
	}
	return r
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// Resume goes on with a run of the line protocol. Its time is that of
// the lines, so the gap takes none of it.
func Resume(path string, m shelf.Memory, talk io.Writer) (*Filter, func(), error) {
	r, err := keep.ResumeHeld(path, time.Now(), journal.WithClock(time.Now))
	if err != nil {
		return nil, nil, keep.Unresumed(path, err)
	}
	return &Filter{keeper: r.Keeper, memory: m, journal: path, talk: talk}, func() { r.Writer.Close() }, nil
}
