package protocol

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/view"
)

// checkRequest is a step of a check in standards: true or names begin it.
type checkRequest struct {
	step      string
	standards []string
}

// checkSteps are the words for the steps after the first.
var checkSteps = []string{journal.StepIn, journal.StepTake, journal.StepStop}

// checkOf reads the value of "check"; nil for none.
func checkOf(raw json.RawMessage) (*checkRequest, error) {
	var names []string
	var step string
	var yes bool
	switch text := string(raw); {
	case text == "" || text == "null" || text == "false":
		return nil, nil
	case json.Unmarshal(raw, &yes) == nil:
		return &checkRequest{step: journal.StepOut}, nil
	case json.Unmarshal(raw, &names) == nil && len(names) > 0:
		return &checkRequest{step: journal.StepOut, standards: names}, nil
	case json.Unmarshal(raw, &step) == nil && slices.Contains(checkSteps, step):
		return &checkRequest{step: step}, nil
	}
	return nil, fmt.Errorf(`"check": true, must be true, a list of standards such as ["7.00","4.01"], "in", "take" or "stop", not %s`, raw)
}

func (q *checkRequest) event(t float64, k *keep.Keeper) (journal.Event, error) {
	step := &journal.CheckStep{Step: q.step}
	if q.step == journal.StepOut {
		for _, name := range q.standards {
			if strings.TrimSpace(name) == "" {
				return journal.Event{}, errors.New(`"check": a standard without a name`)
			}
		}
		var err error
		if step.Standards, err = k.State.CheckStandards(strings.Join(q.standards, ",")); err != nil {
			return journal.Event{}, err
		}
	}
	return journal.Event{T: t, Kind: journal.Checking, Checking: step}, nil
}

// Away is where a check in standards is.
type Away struct {
	Wants    string `json:"wants"` // dip, reading, look or back
	Standard string `json:"standard,omitempty"`
	Number   int    `json:"number,omitempty"`
	Of       int    `json:"of,omitempty"`
}

// Checked is what a check in standards has found.
type Checked struct {
	Verdict calib.Verdict `json:"verdict"`
	Shift   float64       `json:"shift"`
	ShiftSD float64       `json:"shift_sd"`
	Slope   *float64      `json:"slope_pct,omitempty"`
	SlopeSD *float64      `json:"slope_sd_pct,omitempty"`
	Seen    []Seen        `json:"standards"`
}

type Seen struct {
	Standard string  `json:"standard"`
	PH       float64 `json:"ph"`
	Read     float64 `json:"read"`
	Shift    float64 `json:"shift"`
	ShiftSD  float64 `json:"shift_sd"`
}

func awayOf(v view.View) (*Away, *Checked) {
	w := v.Away
	if w == nil {
		return nil, nil
	}
	wants := map[walk.Stage]string{walk.Immerse: "dip", walk.Settle: "reading", walk.Ask: "look", walk.Done: "back"}
	away := &Away{Wants: wants[w.Stage], Standard: w.Name, Number: w.Number, Of: w.Of}
	if w.Verdict == nil {
		return away, nil
	}
	found := &Checked{Verdict: w.Verdict.Verdict, Shift: w.Verdict.Shift, ShiftSD: w.Verdict.ShiftSD}
	if w.Verdict.SlopePct != 0 {
		found.Slope, found.SlopeSD = &w.Verdict.SlopePct, &w.Verdict.SlopeSD
	}
	for _, s := range w.Verdict.Seen {
		found.Seen = append(found.Seen, Seen{s.Point.Standard, s.Point.PH, s.Read, s.Shift, s.SD})
	}
	return away, found
}

// maxLine is how long a line of input may be, bytes.
const maxLine = 1 << 20

// errLineTooLong is a line of input that is not read.
var errLineTooLong = fmt.Errorf("a line of more than %d bytes", maxLine)

// nextLine reads the next line with its end. One that is too long is read to its
// end and is errLineTooLong; the next call goes on behind it. The error of the
// stream comes with what there was of the last line.
func nextLine(r *bufio.Reader) ([]byte, error) {
	line, err := r.ReadSlice('\n')
	if !errors.Is(err, bufio.ErrBufferFull) {
		return line, err
	}
	for errors.Is(err, bufio.ErrBufferFull) {
		_, err = r.ReadSlice('\n')
	}
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	return nil, errLineTooLong // at the end of input the next call says so
}
