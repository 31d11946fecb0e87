package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

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
		Use:   "advise (--plan FILE [--journal FILE] | --resume --journal FILE)",
		Short: "The coach as a filter: one JSON line in, one JSON line out",
		Long: `The coach as a filter for other programs: one JSON object a line in, exactly
one a line out. The clock is "t", in seconds. End of input ends it.

In:   {"t":12,"ph":6.12,"temp_c":21.4}      a reading; "mv" instead of "ph"
      {"t":40,"added":{"titrant":"NaOH 1 M","drops":12}}      or "ml":0.6
      {"t":41,"undo":true}                  the latest addition was mis-keyed
      {"t":42,"confirm":true}               a person has looked at the check

Out:  {"t":12,"do":"wait|add|stop|check","ph":6.12,"settled":true,"aim":7.19,
       "titrant":"NaOH 1 M","drops":6,"ml":0.3,"ph_after":6.41,"ph_low":6.37,
       "ph_high":6.46,"reason":"code","why":"words"}

A line that cannot be used is answered by {"error":"…"} and changes nothing.
With --journal an answered line has been written to the file, and an answered
addition, undo or confirm has been synced. With --resume the run in the journal
goes on where it was broken off; "t" goes on from its last time.`,
		Args: cobra.NoArgs,
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
	e := journal.Event{T: a.keeper.State.T, Kind: journal.Ended, End: &journal.End{Outcome: "end of input"}}
	return a.keeper.Take(e)
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
	T     *float64        `json:"t"`
	PH    *json.Number    `json:"ph"`
	MV    *json.Number    `json:"mv"`
	TempC *float64        `json:"temp_c"`
	Added *addedRequest   `json:"added"`
	Undo  json.RawMessage `json:"undo"`
	OK    json.RawMessage `json:"confirm"`
}

type addedRequest struct {
	Titrant string   `json:"titrant"`
	Drops   *float64 `json:"drops"`
	ML      *float64 `json:"ml"`
}

// reply is a line of output.
type reply struct {
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
	Error   string   `json:"error,omitempty"`
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
	r.Aim = finite(adv.Aim)
	if v.HasReading {
		r.PH = finite(v.PH)
	}
	if adv.Do == "add" {
		r.PHAfter, r.PHLow, r.PHHigh = finite(adv.PHAfter), finite(adv.PHLow), finite(adv.PHHigh)
	}
	return r
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// event is what a line of input says happened.
func (a *adviser) event(q request) (journal.Event, error) {
	undo, err1 := isTrue("undo", q.Undo)
	confirm, err2 := isTrue("confirm", q.OK)
	if err := errors.Join(err1, err2); err != nil {
		return journal.Event{}, err
	}
	things := 0
	for _, has := range []bool{q.PH != nil || q.MV != nil, q.Added != nil, undo, confirm} {
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
		return journal.Event{}, errors.New(`one of "ph", "mv", "added", "undo" and "confirm" is wanted on a line`)
	case q.Added != nil:
		return a.added(*q.T, *q.Added)
	case undo:
		return a.undo(*q.T)
	case confirm:
		return journal.Event{T: *q.T, Kind: journal.Confirmed}, nil
	}
	return a.reading(q)
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
	add, err := a.keeper.State.Addition(q.Titrant, drops, ml)
	return journal.Event{T: t, Kind: journal.Added, Added: &add}, err
}

func (a *adviser) undo(t float64) (journal.Event, error) {
	e, ok := a.keeper.State.Latest()
	if !ok {
		return journal.Event{}, run.ErrNothing
	}
	return journal.Event{T: t, Kind: journal.Undone, Undo: &journal.Undo{Seq: e.Seq}}, nil
}

func (a *adviser) reading(q request) (journal.Event, error) {
	r := &journal.Reading{TempC: q.TempC}
	var err error
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
