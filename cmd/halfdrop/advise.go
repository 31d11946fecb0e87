package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"github.com/spf13/cobra"
)

// lineProtocol is what a journal calls readings that came as lines.
const lineProtocol = "line protocol"

func newAdviseCommand() *cobra.Command {
	var plan, file string
	var resume bool
	c := &cobra.Command{
		Use:     "advise (--plan FILE [--journal FILE] | --resume --journal FILE)",
		Short:   "The coach as a filter: one JSON line in, one JSON line out",
		Long:    adviseLong,
		Example: "  halfdrop advise --plan hepes.toml --journal run.jsonl\n  meter-to-json | halfdrop advise --plan hepes.toml | lamp",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			open := func() (*adviser, func(), error) { return newAdviser(plan, file) }
			switch {
			case resume && (file == "" || plan != ""):
				return usageError(errors.New("--resume goes with --journal FILE and takes the plan from it"))
			case resume:
				open = func() (*adviser, func(), error) { return adviserAgain(file) }
			case plan == "":
				return usageError(errors.New("no plan"), "give one with --plan FILE")
			}
			a, done, err := open()
			if err != nil {
				return err
			}
			defer done()
			return a.filter(cmd.InOrStdin(), cmd.OutOrStdout())
		},
	}
	c.Flags().StringVar(&plan, "plan", "", "plan `file` (TOML)")
	c.Flags().StringVar(&file, "journal", "", "journal `file` to write; none is kept without it")
	c.Flags().BoolVar(&resume, "resume", false, "go on with the run in the journal")
	return c
}

// adviser answers lines.
type adviser struct {
	keeper   *run.Keeper
	decimals int
}

func newAdviser(planPath, journalPath string) (*adviser, func(), error) {
	p, err := loadPlan(planPath)
	if err == nil {
		err = advisable(planPath, p)
	}
	if err != nil {
		return nil, nil, err
	}
	start := time.Now()
	first, err := startEvent(p, start, lineProtocol, "")
	if err != nil {
		return nil, nil, err
	}
	log, done := run.Log(&run.Discard{}), func() {}
	if journalPath != "" {
		w, err := createJournal(journalPath, &first)
		if err != nil {
			return nil, nil, err
		}
		log, done = w, func() { w.Close() }
	}
	at := func(t float64) time.Time { return start.Add(time.Duration(t * float64(time.Second))) }
	k, err := run.NewKeeper(first, log, at)
	if err != nil {
		done()
		return nil, nil, err
	}
	return &adviser{keeper: k}, done, nil
}

func (a *adviser) filter(in io.Reader, out io.Writer) error {
	r := bufio.NewReaderSize(in, maxLine)
	w := bufio.NewWriter(out)
	for {
		line, err := nextLine(r)
		if err == errLineTooLong {
			if err := answer(w, reply{Error: err.Error()}); err != nil {
				return fmt.Errorf("advise: %w", err)
			}
			continue
		}
		if len(bytes.TrimSpace(line)) > 0 {
			if err := answer(w, a.line(line)); err != nil {
				return fmt.Errorf("advise: %w", err)
			}
		} else if len(line) > 0 && err == nil {
			if err := answer(w, reply{Error: "an empty line; one JSON object a line is wanted"}); err != nil {
				return fmt.Errorf("advise: %w", err)
			}
		}
		if err == io.EOF {
			return a.end()
		}
		if err != nil {
			return fmt.Errorf("advise: %w", err)
		}
	}
}

func (a *adviser) end() error {
	return a.keeper.Take(a.keeper.State.Ending(a.keeper.State.T, "end of input"))
}

func answer(w *bufio.Writer, r reply) error {
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
	Dosing   json.RawMessage `json:"dosing"`
	Declined json.RawMessage `json:"declined"`
	Immersed json.RawMessage `json:"immersed"`
	Bottle   json.RawMessage `json:"bottle"`
}

type addedRequest struct {
	Titrant string   `json:"titrant"`
	Drops   *float64 `json:"drops"`
	ML      *float64 `json:"ml"`
	From    *float64 `json:"from"`
	Sure    bool     `json:"sure"`
}

// reply is a line of output.
type reply struct {
	T       *float64     `json:"t,omitempty"`
	Do      string       `json:"do,omitempty"`
	PH      *float64     `json:"ph,omitempty"`
	Settled *bool        `json:"settled,omitempty"`
	Aim     *float64     `json:"aim,omitempty"`
	Titrant string       `json:"titrant,omitempty"`
	Drops   float64      `json:"drops,omitempty"`
	ML      float64      `json:"ml,omitempty"`
	PHAfter *float64     `json:"ph_after,omitempty"`
	PHLow   *float64     `json:"ph_low,omitempty"`
	PHHigh  *float64     `json:"ph_high,omitempty"`
	Reason  string       `json:"reason,omitempty"`
	Why     string       `json:"why,omitempty"`
	Was     float64      `json:"was,omitempty"`
	Like    float64      `json:"like,omitempty"`
	Codes   []string     `json:"codes,omitempty"`
	Read    *float64     `json:"read,omitempty"`
	Again   *float64     `json:"again,omitempty"`
	Rest    bool         `json:"at_rest,omitempty"`
	Found   *foundAnswer `json:"found,omitempty"` // where an amount is looked for
	Error   string       `json:"error,omitempty"`
}

// line answers one line of input.
func (a *adviser) line(b []byte) reply {
	var q request
	dec := json.NewDecoder(bytes.NewReader(b))
	if err := dec.Decode(&q); err != nil {
		return reply{Error: "not a line of the protocol: " + err.Error()}
	}
	if _, err := dec.Token(); err != io.EOF {
		return reply{Error: "more than one JSON object on the line"}
	}
	e, err := a.event(q)
	if err == nil {
		err = a.keeper.Take(e)
	}
	if err == nil && a.keeper.Alarm != "" {
		err = errors.New(a.keeper.Alarm)
	}
	if err != nil {
		return reply{T: q.T, Error: strings.TrimPrefix(err.Error(), "run: ")}
	}
	return replyOf(a.keeper.Look(*q.T))
}

func replyOf(v run.View) reply {
	adv := v.Record()
	r := reply{T: &v.T, Do: adv.Do, Settled: &adv.Settled, Reason: adv.Reason, Why: adv.Why,
		Titrant: adv.Titrant, Drops: adv.Drops, ML: adv.ML}
	if n := v.Next; n != nil {
		in := math.Max(0, n.Told())
		r.Again, r.Rest = &in, n.Stands
	}
	r.Found = answerOf(v.Found)
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
			x := math.Round(v.Read.PH*1e4) / 1e4
			r.Read = &x
		}
	case "check":
		r.Codes = codesOf(v)
	}
	if f := v.Falling; f != nil && adv.Do == "check" {
		r.Titrant, r.Drops, r.ML, r.Like = v.Titrant, v.Advice.Drops, v.Advice.Volume.Millilitres(), f.Like
	}
	return r
}

// codesOf is what a check is about, for a confirmation to name.
func codesOf(v run.View) []string {
	out := v.Advice.Codes()
	for _, f := range v.Spotted {
		if c := f.Code(); !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// event is what a line of input says happened.
func (a *adviser) event(q request) (journal.Event, error) {
	said := map[string]bool{}
	var bad []error
	for key, raw := range map[string]json.RawMessage{"undo": q.Undo, "dosing": q.Dosing, "declined": q.Declined, "immersed": q.Immersed} {
		yes, err := isTrue(key, raw)
		said[key], bad = yes, append(bad, err)
	}
	confirm, code, err := confirmed(q.OK)
	if err := errors.Join(append(bad, err)...); err != nil {
		return journal.Event{}, err
	}
	bottle := len(q.Bottle) > 0 && string(q.Bottle) != "null"
	things := 0
	for _, has := range []bool{q.PH != nil || q.MV != nil, q.Added != nil, confirm, bottle, said["undo"], said["dosing"], said["declined"], said["immersed"]} {
		if has {
			things++
		}
	}
	switch {
	case q.T == nil:
		return journal.Event{}, errors.New(`no "t": the time in seconds is wanted on each line`)
	case !(*q.T >= 0 && *q.T < 1e9):
		return journal.Event{}, fmt.Errorf("t = %g is no time in seconds", *q.T)
	case *q.T < a.keeper.State.T:
		return journal.Event{}, fmt.Errorf("t = %g runs backwards, after %g", *q.T, a.keeper.State.T)
	case things != 1:
		return journal.Event{}, errors.New(`one of "ph", "mv", "added", "dosing", "declined", "undo", "confirm", "bottle" and "immersed" is wanted on a line`)
	}
	e := journal.Event{T: *q.T}
	switch {
	case q.Added != nil:
		return a.added(*q.T, *q.Added)
	case said["undo"]:
		return a.undo(*q.T)
	case confirm:
		return a.confirmed(*q.T, code)
	case said["dosing"]:
		e.Kind = journal.Dosing
		return e, a.keeper.State.CanDose()
	case said["declined"]:
		e.Kind = journal.Declined
		return e, a.keeper.State.CanDose()
	case said["immersed"]:
		e.Kind = journal.Immersed
		return e, nil
	case bottle:
		return bottled(*q.T, q.Bottle)
	}
	return a.reading(q)
}

// confirmed reads the value of "confirm": true, or the code of what it is about.
func confirmed(raw json.RawMessage) (yes bool, code string, err error) {
	if json.Unmarshal(raw, &code) == nil && code != "" {
		return true, code, nil
	}
	if yes, err = isTrue("confirm", raw); err != nil {
		err = fmt.Errorf("%w; or the code of what it is about", err)
	}
	return yes, "", err
}

func (a *adviser) confirmed(t float64, code string) (journal.Event, error) {
	if code != "" {
		codes := codesOf(a.keeper.State.Look(t))
		if a.keeper.State.Look(t).Advice.Do != coach.Check {
			return journal.Event{}, errors.New("there is no check to confirm")
		}
		if !slices.Contains(codes, code) {
			return journal.Event{}, fmt.Errorf("the check is not about %q; it is about %s", code, strings.Join(codes, ", "))
		}
	}
	return journal.Event{T: t, Kind: journal.Confirmed}, nil
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
		return false, fmt.Errorf("%q: true is wanted, not %s", key, s)
	}
}

func (a *adviser) added(t float64, q addedRequest) (journal.Event, error) {
	var drops, ml float64
	switch {
	case q.Drops != nil && q.ML != nil:
		return journal.Event{}, errors.New(`"added": either "drops" or "ml" is wanted, not both`)
	case q.Drops != nil:
		drops = *q.Drops
	case q.ML != nil:
		ml = *q.ML
	default:
		return journal.Event{}, errors.New(`"added": "drops" or "ml" is wanted`)
	}
	if !(drops > 0 || ml > 0) {
		return journal.Event{}, errors.New(`"added": an amount above zero is wanted`)
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

func (a *adviser) undo(t float64) (journal.Event, error) {
	e, ok := a.keeper.State.Latest()
	if !ok {
		return journal.Event{}, run.ErrNothing
	}
	return journal.Event{T: t, Kind: journal.Undone, Undo: &journal.Undo{Seq: e.Seq}}, nil
}

func (a *adviser) reading(q request) (journal.Event, error) {
	switch {
	case q.Stands && !q.Typed:
		return journal.Event{}, errors.New(`"stands" is for values with "typed":true`)
	case q.Typed && q.PH == nil:
		return journal.Event{}, errors.New(`of a display that is read off, "ph" is wanted`)
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
func (a *adviser) number(n json.Number) (*float64, error) {
	v, err := n.Float64()
	if err != nil || math.IsInf(v, 0) {
		return nil, fmt.Errorf("%q is no number", n.String())
	}
	if _, frac, ok := strings.Cut(n.String(), "."); ok && !strings.ContainsAny(frac, "eE") {
		a.decimals = min(max(a.decimals, len(frac)), 6)
	}
	return &v, nil
}
