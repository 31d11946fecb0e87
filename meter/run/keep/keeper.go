package keep

import (
	"fmt"
	"strings"
	"time"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/view"
)

// Log is where events are written before they count.
type Log interface {
	// Append writes the event, and syncs it when its kind is durable; it sets
	// the event's Seq. An event that it refuses has not happened.
	Append(*journal.Event) error
}

// Discard is a Log that only numbers events, for runs nobody wants to keep.
type Discard struct{ seq int64 }

// Append numbers the event.
func (d *Discard) Append(e *journal.Event) error {
	d.seq++
	e.Seq = d.seq
	return nil
}

// Keeper folds events into a state, each written to the log first.
// It is for one goroutine.
type Keeper struct {
	State run.State
	log   Log
	at    func(t float64) time.Time // wall time of a run time
	// Alarm is the last failure of the log, empty when all is well.
	Alarm string
}

// NewKeeper opens a run: first is its start event, which the log must already
// hold (Seq set). at turns seconds of the run into the time of day.
func NewKeeper(first journal.Event, log Log, at func(t float64) time.Time) (*Keeper, error) {
	s, err := run.Open(first)
	if err != nil {
		return nil, err
	}
	return &Keeper{State: s, log: log, at: at}, nil
}

// ResumeKeeper goes on with a state that was folded from a journal.
func ResumeKeeper(s run.State, log Log, at func(t float64) time.Time) *Keeper {
	return &Keeper{State: s, log: log, at: at}
}

// At is the time of day of a run time, s.
func (k *Keeper) At(t float64) time.Time { return k.at(t) }

// Take makes an event happen: it must fit the state, then it is written, then
// it counts. A reading counts even when it could not be written, with Alarm
// set, so that the person at the plate is not left blind; nothing else does.
func (k *Keeper) Take(e journal.Event) error {
	if e.T < k.State.T {
		e.T = k.State.T // clocks step back now and then; order is what counts
	}
	e.At = k.at(e.T)
	e.Seq = k.State.Seq + 1
	next, err := run.Step(k.State, e)
	if err != nil {
		return err
	}
	if err := k.log.Append(&e); err != nil {
		k.alarm(err)
		if e.Kind.Durable() {
			return fmt.Errorf("run: not recorded, so it does not count: %w", err)
		}
		e.Seq = k.State.Seq // the number goes to the next event that is written
	} else {
		k.Alarm = ""
	}
	next.Seq = e.Seq
	k.State = next
	return nil
}

// alarm says that nothing is recorded and why: without the name of the file, which fills
// a row of a screen before the reason comes.
func (k *Keeper) alarm(err error) {
	text := phrase.Plain(err).Error()
	if l, ok := k.log.(interface{ Path() string }); ok && l.Path() != "" {
		text = strings.Replace(text, l.Path()+": ", "", 1)
	}
	k.Alarm = "not being recorded: " + text
}

// syncer is a log whose events can wait for the disk.
type syncer interface{ Sync() error }

// Sync brings to the disk what waits for it, to be called while no event
// comes: a meter that falls silent must not leave its last readings in memory,
// and a file that has gone must show. A failure is kept as Alarm.
func (k *Keeper) Sync() {
	l, ok := k.log.(syncer)
	if !ok {
		return
	}
	if err := l.Sync(); err != nil {
		k.alarm(err)
	}
}

// Look is the view at run time t. When the advice is not the one given last it
// is written to the log as given.
func (k *Keeper) Look(t float64) view.View {
	k.judge(t)
	v := k.State.Look(t)
	a := v.Record()
	if v.Outcome == "" && !sameAdvice(k.State.Given(), a) { // nothing is advised after the end
		// A failure shows as Alarm; the advice itself is only words.
		if err := k.Take(journal.Event{T: t, Kind: journal.Advised, Advice: &a}); err == nil {
			v.Version = k.State.Version()
		}
	}
	v.Alarm = k.Alarm
	return v
}

// judge puts the verdict of a check in standards on record when it is over.
func (k *Keeper) judge(t float64) {
	if payload, ok := k.State.Unjudged(); ok {
		_ = k.Take(journal.Event{T: t, Kind: journal.Checked, Checked: payload}) // a failure shows as Alarm
	}
}

// Immerse takes the word of a person that the electrode is in the beaker now; of a
// check in standards that goes on, what was read so far is judged first.
func (k *Keeper) Immerse(t float64) error {
	if k.State.AtStandards() {
		if err := k.Take(journal.Event{T: t, Kind: journal.Checking, Checking: &journal.CheckStep{Step: journal.StepStop}}); err != nil {
			return err
		}
	}
	k.judge(t)
	return k.Take(journal.Event{T: t, Kind: journal.Immersed})
}

// sameAdvice reports whether a person would see no difference to act on.
func sameAdvice(old *journal.Advice, a journal.Advice) bool {
	return old != nil && old.Do == a.Do && old.Titrant == a.Titrant && old.Drops == a.Drops && old.ML == a.ML &&
		(a.Do == "add" || a.Do == "stop" || old.Reason == a.Reason)
}
