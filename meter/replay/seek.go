package replay

import (
	"math"
	"sort"
	"time"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
)

// Len is the number of events after the start.
func (r *Run) Len() int { return len(r.items) }

// Seconds is the run time of the last event.
func (r *Run) Seconds() float64 { return r.end.T }

// Lasted is the run time at which it was closed, s: the reading after making up, put on
// record hours later, makes no run longer. Of one that was not closed, or went on after
// that, it is Seconds.
func (r *Run) Lasted() float64 {
	for i := len(r.items) - 1; i >= 0; i-- {
		k := r.items[i].other
		switch {
		case k >= 0 && r.others[k].Kind == journal.Ended:
			return r.others[k].T
		case k < 0 || r.others[k].Kind != journal.MadeUp:
			return r.Seconds()
		}
	}
	return r.Seconds()
}

// End is the state after the last event.
func (r *Run) End() run.State { return r.end }

// Event is event number i after the start, 0 being the first. Of a plain
// reading the raw line and the flags are left out.
func (r *Run) Event(i int) journal.Event {
	it := &r.items[i]
	if it.other >= 0 {
		return r.others[it.other]
	}
	v := it.v
	e := journal.Event{Seq: int64(i) + 2, T: it.t, At: r.when(int64(i)+2, it.t), Kind: journal.Read, Reading: &journal.Reading{Decimals: int(it.decimals)}}
	if it.mv {
		e.Reading.MV = &v
	} else {
		e.Reading.PH = &v
	}
	if mv := it.beside; !math.IsNaN(mv) {
		e.Reading.MV = &mv
	}
	if !math.IsNaN(it.temp) {
		t := it.temp
		e.Reading.TempC = &t
	}
	return e
}

// when is the time of day of a plain reading, counted from the event before it that has one:
// how old a calibration was hangs on it.
func (r *Run) when(seq int64, t float64) time.Time {
	before := &r.First
	if k := sort.Search(len(r.others), func(k int) bool { return r.others[k].Seq >= seq }); k > 0 {
		before = &r.others[k-1]
	}
	return before.At.Add(time.Duration((t - before.T) * float64(time.Second)))
}

// At is the state after the first n events after the start. It takes the
// nearest state kept and folds at most a couple of thousand events on.
func (r *Run) At(n int) run.State {
	n = max(0, min(n, len(r.items)))
	k := min(n/snapEvery, len(r.snaps)-1)
	s := r.snaps[k]
	for i := k * snapEvery; i < n; i++ {
		if next, err := run.Step(s, r.Event(i)); err == nil { // it was accepted before
			s = next
		}
	}
	return s
}

// Find is how many events have happened at run time t, s.
func (r *Run) Find(t float64) int {
	return sort.Search(len(r.items), func(i int) bool { return r.items[i].t > t })
}

// Time is the run time after n events, s.
func (r *Run) Time(n int) float64 {
	if n <= 0 || len(r.items) == 0 {
		return r.First.T
	}
	return r.items[min(n, len(r.items))-1].t
}

// Wall is the time of day of run time t, by the last event before it that
// carries one.
func (r *Run) Wall(t float64) time.Time {
	e := r.First
	i := sort.Search(len(r.others), func(i int) bool { return r.others[i].T > t })
	if i > 0 && !r.others[i-1].At.IsZero() {
		e = r.others[i-1]
	}
	return e.At.Add(time.Duration((t - e.T) * float64(time.Second)))
}

// Additions tells the events that change what is in the beaker, or is said to be.
func Additions(e journal.Event) bool {
	return e.Kind == journal.Added || e.Kind == journal.Undone || e.Kind == journal.Corrected
}

// Events goes through all events, the start first. Plain readings come in
// their short form.
func (r *Run) Events(yield func(journal.Event) bool) {
	if !yield(r.First) {
		return
	}
	for i := range r.items {
		if !yield(r.Event(i)) {
			return
		}
	}
}

// Others goes through the events that are not plain readings, without the start.
func (r *Run) Others(yield func(journal.Event) bool) {
	for i := range r.others {
		if !yield(r.others[i]) {
			return
		}
	}
}
