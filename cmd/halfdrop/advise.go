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
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/shelf"
	"github.com/spf13/cobra"
)

// lineProtocol is what a journal calls readings that came as lines.
const lineProtocol = "line protocol"

func newAdviseCommand() *cobra.Command {
	var plan, file string
	var resume bool
	var m shelf.Memory
	c := &cobra.Command{
		Use:     "advise (--plan FILE [--journal FILE] | --resume --journal FILE)",
		Short:   "The coach as a filter: one JSON line in, one JSON line out",
		Long:    adviseLong,
		Example: "  halfdrop advise --plan hepes.toml --journal run.jsonl\n  meter-to-json | halfdrop advise --plan hepes.toml | lamp",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := plainWords("--electrode", m.Electrode); err != nil {
				return err
			}
			open := func() (*adviser, func(), error) { return newAdviser(plan, file, m, cmd.ErrOrStderr()) }
			switch {
			case resume && (file == "" || plan != ""):
				return usageError(errors.New("--resume goes with --journal FILE and takes the plan from it"))
			case resume:
				open = func() (*adviser, func(), error) { return adviserAgain(file, m, cmd.ErrOrStderr()) }
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
	c.Flags().StringVar(&m.Electrode, "electrode", "", "`name` of the electrode, under which it is remembered")
	c.Flags().StringVar(&m.Path, "bench", "", "`file` of what is known of droppers, bottles and electrodes, instead of the one in the data folder")
	c.Flags().BoolVar(&m.Forget, "forget", false, "begin without what earlier runs have shown; a run that ends well replaces it")
	c.Flags().BoolVar(&resume, "resume", false, "go on with the run in the journal")
	return c
}

// adviser answers lines.
type adviser struct {
	keeper   *run.Keeper
	decimals int
	memory   shelf.Memory
	journal  string
	talk     io.Writer
}

func newAdviser(planPath, journalPath string, m shelf.Memory, talk io.Writer) (*adviser, func(), error) {
	p, err := planfile.Load(planPath)
	if err == nil {
		err = planfile.Advisable(planPath, p)
	}
	if err != nil {
		return nil, nil, err
	}
	start := time.Now()
	first, err := startEvent(p, start, lineProtocol, "")
	if err != nil {
		return nil, nil, err
	}
	if m.Keeps(p.Titrants) {
		if err := m.TakeOver(p, &first, talk); err != nil {
			return nil, nil, err
		}
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
	return &adviser{keeper: k, memory: m, journal: journalPath, talk: talk}, done, nil
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
	if err := a.keeper.Take(a.keeper.State.Ending(a.keeper.State.T, "end of input")); err != nil {
		return err
	}
	if s := a.keeper.State; a.talk != nil && !s.Looks() && a.memory.Keeps(s.Planned().Titrants) {
		return a.memory.Teach(s, a.journal, a.talk)
	}
	return nil
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
	MarkML   float64         `json:"mark_ml"`
	Dosing   json.RawMessage `json:"dosing"`
	Declined json.RawMessage `json:"declined"`
	Immersed json.RawMessage `json:"immersed"`
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
	MarkML  float64      `json:"mark_ml,omitempty"`
	Chance  *float64     `json:"chance,omitempty"`
	Amended []string     `json:"amended,omitempty"`
	Read    *float64     `json:"read,omitempty"`
	Again   *float64     `json:"again,omitempty"`
	Rest    bool         `json:"at_rest,omitempty"`
	Found   *foundAnswer `json:"found,omitempty"`   // where an amount is looked for
	Away    *awayAnswer  `json:"check,omitempty"`   // while the electrode is out of the beaker
	Checked *checkAnswer `json:"checked,omitempty"` // when a check in standards is over, until it is back
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
	r.Found, r.Amended = answerOf(v.Found), v.Amended
	r.Away, r.Checked = awayOf(v)
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
		r.Codes, r.MarkML = v.Codes(), v.Mark
	}
	if i := v.Instead; i != nil && adv.Do == "check" {
		r.Titrant, r.Drops, r.ML, r.PHAfter, r.Chance = i.Titrant, i.Drops, i.Volume.Millilitres(), finite(i.After), finite(i.Chance)
	}
	if f := v.Falling; f != nil && adv.Do == "check" {
		r.Titrant, r.Drops, r.ML, r.Like = v.Titrant, v.Advice.Drops, v.Advice.Volume.Millilitres(), f.Like
	}
	return r
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
