package journal

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"
)

// Format is the version of the journal format that this package writes.
const Format = 1

// Kind names what an event is; it is a string so that other programs can read
// a journal without a table of numbers.
type Kind string

// The kinds of events. Each but Confirmed, Dosing, Declined, Immersed and Urged has a
// payload field of its name in Event.
const (
	Started    Kind = "start"       // first line: versions, plan, operator
	Read       Kind = "reading"     // a reading of the meter, with the raw line
	BadLine    Kind = "bad_line"    // a line that could not be read as a reading
	LinkChange Kind = "link"        // the line to the meter changed its state
	Dosing     Kind = "dosing"      // the first drop of what was ordered falls
	Added      Kind = "added"       // titrant added to the beaker
	Declined   Kind = "declined"    // nothing of what was ordered was given
	Immersed   Kind = "immersed"    // the electrode is in the beaker now
	Urged      Kind = "go_on"       // what is safe now is wanted, not a better reading
	Warmed     Kind = "temperature" // a person has said how warm the beaker is
	Checking   Kind = "checking"    // a step of a check of the electrode in standards, out of the beaker
	Checked    Kind = "checked"     // what the check found
	Bottled    Kind = "bottle"      // another titrant is at hand
	Undone     Kind = "undo"        // an addition withdrawn as mis-keyed
	Corrected  Kind = "correct"     // an addition restated: count or titrant
	Confirmed  Kind = "confirm"     // a person has looked at the check and goes on
	Amended    Kind = "amend"       // the plan, or what was taken for true, turned out to be otherwise
	Advised    Kind = "advice"      // what the coach told the person
	Calibrated Kind = "calibration" // standards read, slope and offset
	Remarked   Kind = "remark"      // words of the operator
	Noted      Kind = "note"        // what was weighed, lots, and what stands at the plate
	MadeUp     Kind = "made_up"     // the reading of the finished solution
	Gap        Kind = "gap"         // time without the program: a run taken up again
	Ended      Kind = "end"         // the run was closed by the person or by the end of input
)

// Durable reports whether an event of this kind must be on the disk before it
// is acknowledged. Readings and the state of the line need not be.
func (k Kind) Durable() bool {
	switch k {
	case Read, BadLine, LinkChange:
		return false
	}
	return true
}

// Event is one line of a journal. Exactly one payload is set, the one of its
// Kind; Confirmed, Dosing, Declined, Immersed and Urged events have none.
type Event struct {
	Seq  int64     `json:"seq"`  // 1, 2, 3 … without gaps
	At   time.Time `json:"at"`   // RFC 3339 with offset
	T    float64   `json:"t"`    // seconds since the start of the run
	Kind Kind      `json:"kind"` // which payload is set

	Start       *Start          `json:"start,omitempty"`
	Reading     *Reading        `json:"reading,omitempty"`
	Link        *Link           `json:"link,omitempty"`
	Added       *Addition       `json:"added,omitempty"`
	Bottle      json.RawMessage `json:"bottle,omitempty"` // with the keys of a titrant of the plan
	Known       json.RawMessage `json:"known,omitempty"`  // what was taken over of that bottle from earlier runs
	Undo        *Undo           `json:"undo,omitempty"`
	Correct     *Correction     `json:"correct,omitempty"`
	Amend       *Amendment      `json:"amend,omitempty"`
	Advice      *Advice         `json:"advice,omitempty"`
	Calibration json.RawMessage `json:"calibration,omitempty"`
	TempC       *float64        `json:"temperature,omitempty"` // °C
	Checking    *CheckStep      `json:"checking,omitempty"`
	Checked     json.RawMessage `json:"checked,omitempty"` // as calib.Verification
	Remark      *Remark         `json:"remark,omitempty"`
	Note        *Note           `json:"note,omitempty"`
	MadeUp      *Making         `json:"made_up,omitempty"`
	Gap         *GapPayload     `json:"gap,omitempty"`
	End         *End            `json:"end,omitempty"`

	Raw    string `json:"raw,omitempty"`     // the line as received, for readings and bad lines
	RawHex string `json:"raw_hex,omitempty"` // on the file only: the bytes of a Raw that is not UTF-8
	Why    string `json:"why,omitempty"`     // for bad lines, why it is no reading
	Sum    string `json:"sum"`               // hash over the previous sum and this line without its sum
}

// Start opens a journal.
type Start struct {
	Format   int             `json:"format"`
	Program  string          `json:"program"` // name and version of the program that writes
	Plan     json.RawMessage `json:"plan"`    // the plan as a JSON object with the keys of the plan file
	Operator string          `json:"operator,omitempty"`
	Source   string          `json:"source,omitempty"`   // where the readings come from
	Known    json.RawMessage `json:"known,omitempty"`    // what was taken over from earlier runs of droppers, bottles and electrode
	Practice json.RawMessage `json:"practice,omitempty"` // which exercise, on which bench; for runs on the simulator
}

// Reading is a value of the meter; PH or MV is set, both when the meter sent both.
type Reading struct {
	PH       *float64 `json:"ph,omitempty"`
	MV       *float64 `json:"mv,omitempty"`
	TempC    *float64 `json:"temp_c,omitempty"`
	Decimals int      `json:"decimals"`          // digits after the decimal mark as sent
	Flags    []string `json:"flags,omitempty"`   // what the meter says of itself: stable, unstable, over, under, no probe
	Refused  string   `json:"refused,omitempty"` // why the run does not use this reading
	Typed    bool     `json:"typed,omitempty"`   // a person has read it off a display and typed it
	Stands   bool     `json:"stands,omitempty"`  // and has said that the display stands at it
	Same     bool     `json:"same,omitempty"`    // not sent: a meter that sends only what changes shows it still
}

// Link is a change of the line to the meter.
type Link struct {
	State string `json:"state"`
	Note  string `json:"note,omitempty"`
	Poor  bool   `json:"poor,omitempty"` // something comes, and the note says what is wrong with the line
}

// Addition is titrant added. ML is always set; Drops when it was counted in
// drops. From is when it began to show or to fall, s; the time of the event is
// that of its confirmation. Journals from before it was kept have none.
type Addition struct {
	Titrant string   `json:"titrant"`
	Drops   float64  `json:"drops,omitempty"`
	ML      float64  `json:"ml"`
	From    *float64 `json:"from,omitempty"`
}

// Undo withdraws the addition with sequence number Seq.
type Undo struct {
	Seq    int64  `json:"of"`
	Reason string `json:"reason,omitempty"`
}

// Correction restates the addition with sequence number Seq.
type Correction struct {
	Seq    int64    `json:"of"`
	To     Addition `json:"to"`
	Reason string   `json:"reason,omitempty"`
}

// Amendment says what turned out to be otherwise than planned: a mistake that a person
// has found to be one, or a larger mark. Code and Name are those of the check that asked
// for it. What is not set stays as it was.
type Amendment struct {
	Code    string          `json:"code"`
	Name    string          `json:"name"`
	Weighed json.RawMessage `json:"weighed,omitempty"`  // what is in the beaker, with the keys of the plan
	Titrant json.RawMessage `json:"titrant,omitempty"`  // what a bottle holds, likewise, by its name
	FinalML float64         `json:"final_ml,omitempty"` // the mark
	Seq     int64           `json:"of,omitempty"`       // the addition around which something off the record happened
	Back    bool            `json:"back,omitempty"`     // the amendment of this code is withdrawn
}

// Advice is what the coach said, in the words of the line protocol.
type Advice struct {
	Do      string   `json:"do"` // wait, add, stop, check
	PH      float64  `json:"ph,omitempty"`
	Settled bool     `json:"settled"`
	Aim     float64  `json:"aim"`
	Titrant string   `json:"titrant,omitempty"`
	Drops   float64  `json:"drops,omitempty"`
	ML      float64  `json:"ml,omitempty"`
	PHAfter float64  `json:"ph_after,omitempty"`
	PHLow   float64  `json:"ph_low,omitempty"`
	PHHigh  float64  `json:"ph_high,omitempty"`
	Reason  string   `json:"reason"`
	Why     string   `json:"why"`
	Named   []string `json:"named,omitempty"` // for a check: the mistakes it may be, the likeliest first
	Fault   string   `json:"fault,omitempty"` // for a check of a reading that is not sound: the code of what is asked about
}

// The steps of a check in standards.
const (
	StepOut  = "out"  // the electrode leaves the beaker for the standards that are named
	StepIn   = "in"   // it is in the next standard now
	StepTake = "take" // the value is taken as it is, at the word of a person
	StepStop = "stop" // no more standards; what was read so far is judged
)

// CheckStep is a step of a check in standards. Until the Immersed event that follows
// it the readings say nothing of the beaker.
type CheckStep struct {
	Step      string     `json:"step"`
	Standards []Standard `json:"standards,omitempty"` // with StepOut, in the order in which they are read
}

// Standard is a liquid of known pH: its nominal value and the set that it is of.
type Standard struct {
	Name string `json:"name"`
	Set  string `json:"set"`
}

// Remark is a note of the operator. Code is set when a program made it of
// something that the operator did, and says what that was.
type Remark struct {
	Text string `json:"text"`
	Code string `json:"code,omitempty"`
}

// GapPayload says how long a run that was taken up again had been left.
type GapPayload struct {
	Seconds float64 `json:"seconds"`
}

// End closes a run. Read is missing when the meter was not at rest then; journals
// from before it was kept have none.
type End struct {
	Outcome string `json:"outcome"`
	Read    *Value `json:"read,omitempty"`
}

// Value is a reading at rest: pH, its spread, and when it was read.
type Value struct {
	PH float64 `json:"ph"`
	SD float64 `json:"sd"`
	T  float64 `json:"t"`
}

// held is whether the payload of a kind is set.
type held struct {
	kind Kind
	set  bool
}

func (e *Event) payloads() [18]held {
	return [...]held{
		{Started, e.Start != nil}, {Read, e.Reading != nil}, {LinkChange, e.Link != nil},
		{Added, e.Added != nil}, {Bottled, e.Bottle != nil}, {Undone, e.Undo != nil}, {Corrected, e.Correct != nil}, {Amended, e.Amend != nil},
		{Advised, e.Advice != nil}, {Calibrated, e.Calibration != nil},
		{Warmed, e.TempC != nil}, {Checking, e.Checking != nil}, {Checked, e.Checked != nil},
		{Remarked, e.Remark != nil}, {Noted, e.Note != nil}, {MadeUp, e.MadeUp != nil}, {Gap, e.Gap != nil}, {Ended, e.End != nil},
	}
}

// Known reports whether k is one of the kinds above; a journal of a later
// version may hold others, which are to be passed over.
func (k Kind) Known() bool {
	switch k {
	case BadLine, Confirmed, Dosing, Declined, Immersed, Urged:
		return true
	}
	all := (&Event{}).payloads()
	return slices.ContainsFunc(all[:], func(p held) bool { return p.kind == k })
}

// consistent says what is wrong between the kind of an event and its payload,
// or nothing. Kinds that are not known are not judged.
func (e *Event) consistent() string {
	if !e.Kind.Known() {
		return ""
	}
	for _, p := range e.payloads() {
		switch {
		case p.kind == e.Kind && !p.set:
			return fmt.Sprintf("an event of kind %q without its payload", e.Kind)
		case p.kind != e.Kind && p.set:
			return fmt.Sprintf("an event of kind %q with the payload of %q", e.Kind, p.kind)
		}
	}
	return ""
}
