package run

import (
	"fmt"
	"time"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
)

// Fold is a run that is built up from the events of its journal. The zero
// value waits for the start event.
type Fold struct {
	State State
	First journal.Event // the start
	Last  journal.Event // the latest event
}

// Take folds the next event of the journal.
func (f *Fold) Take(e journal.Event) error {
	next, err := f.State, error(nil)
	if f.First.Kind == "" {
		f.First = e
		next, err = Open(e)
	} else if err = next.absorb(&e); err != nil {
		err = fmt.Errorf("run: %w", err)
	}
	if err != nil {
		return fmt.Errorf("event %d: %w", e.Seq, err)
	}
	f.State, f.Last = next, e
	return nil
}

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

// ResumeHeld is Resume for a run whose time stood still meanwhile.
func ResumeHeld(path string, now time.Time, opts ...journal.Option) (*Resumed, error) {
	return resume(path, now, false, opts)
}

func resume(path string, now time.Time, passes bool, opts []journal.Option) (*Resumed, error) {
	var f Fold
	w, repair, err := journal.Resume(path, f.Take, opts...)
	if err != nil {
		return nil, fmt.Errorf("run: %w", err)
	}
	r := &Resumed{Writer: w, Repair: repair, First: f.First}
	r.Away = max(0, now.Sub(f.Last.At).Seconds())
	gap := journal.Event{T: f.State.T, Kind: journal.Gap, Gap: &journal.GapPayload{Seconds: phrase.Rounded(r.Away, 3)}}
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

// Additions are the additions in force, in the order in which they were keyed,
// as the journal would record them.
func (s State) Additions() []journal.Addition {
	var out []journal.Addition
	for _, e := range s.entries {
		if !e.Undone {
			out = append(out, journal.Addition{Titrant: s.Setup.Stocks[e.Stock].Name, Drops: e.Drops, ML: phrase.Rounded(e.Volume.Millilitres(), 6)})
		}
	}
	return out
}
