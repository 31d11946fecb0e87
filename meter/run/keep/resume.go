package keep

import (
	"errors"
	"fmt"
	"time"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run"
)

// Resumed is a run taken up again, its journal open for more.
type Resumed struct {
	Keeper *Keeper
	Writer *journal.Writer // to be closed by the caller
	Repair journal.Repair  // what had to be set aside of a torn end
	First  journal.Event
	Begin  time.Time // time of day of second 0 of the run
	Away   float64   // s without readings
}

// Resume takes a run up again at time now: the state is folded from the
// journal, and the time without the program becomes an event of its own. The
// readings before it do not count for the present reading any more. A run that
// was ended is opened again by this. A clock that was set back since gives a
// gap of 0 s.
func Resume(path string, now time.Time, opts ...journal.Option) (*Resumed, error) {
	return resume(path, now, true, opts)
}

// Unresumed is the error of a journal that could not be resumed, with what to try: one that
// another program has open is as sound as ever.
func Unresumed(path string, err error) error {
	if errors.Is(err, journal.ErrLocked) {
		return err
	}
	return remedy.With(err, "halfdrop check "+path+" names every fault of the file")
}

// ResumeHeld is Resume for a run whose time stood still meanwhile.
func ResumeHeld(path string, now time.Time, opts ...journal.Option) (*Resumed, error) {
	return resume(path, now, false, opts)
}

func resume(path string, now time.Time, passes bool, opts []journal.Option) (*Resumed, error) {
	var f run.Fold
	w, repair, err := journal.Resume(path, f.Take, opts...)
	if err != nil {
		return nil, fmt.Errorf("run: %w", err)
	}
	r := &Resumed{Writer: w, Repair: repair, First: f.First}
	r.Away = max(0, now.Sub(f.Last.At).Seconds())
	gap := journal.Event{T: f.State.T, Kind: journal.Gap, Gap: &journal.GapPayload{Seconds: phrase.Decimals(r.Away, 3)}}
	if passes {
		gap.T += r.Away
	}
	r.Begin = now.Add(-seconds(gap.T))
	at := func(t float64) time.Time { return r.Begin.Add(seconds(t)) }
	r.Keeper = ResumeKeeper(f.State, w, at)
	if err := r.Keeper.Take(gap); err != nil {
		w.Close()
		return nil, err
	}
	return r, nil
}

func seconds(t float64) time.Duration { return time.Duration(t * float64(time.Second)) }

// RecordMaking puts the reading of the finished solution into the journal of a run
// that is over, and gives its state then.
func RecordMaking(path string, m journal.Making, now time.Time, opts ...journal.Option) (run.State, error) {
	var f run.Fold
	w, _, err := journal.Resume(path, f.Take, opts...)
	if err != nil {
		return run.State{}, fmt.Errorf("run: %w", err)
	}
	defer w.Close()
	if f.State.Ended() == nil {
		return f.State, errors.New("run: the run is not closed yet: close it before giving the reading after making up")
	}
	begin := f.Last.At.Add(-seconds(f.Last.T))
	t := max(f.Last.T, now.Sub(begin).Seconds())
	m.Outcome = f.State.Ended().Outcome
	k := ResumeKeeper(f.State, w, func(t float64) time.Time { return begin.Add(seconds(t)) })
	if err := k.Take(journal.Event{T: t, Kind: journal.MadeUp, MadeUp: &m}); err != nil {
		return f.State, err
	}
	return k.State, nil
}
