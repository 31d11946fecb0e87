package practice

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/sim"
)

// Figures for what shows a fault, a choice of this project.
const (
	leastSign  = 0.03 // pH, by which the meter has to show something else than on a sound bench
	signNoises = 4.0  // and times the noise of a reading
	beside     = 3.0  // s, by which a finger on the trace may be beside
	lastsFor   = 90.0 // s after an addition in which its answer is looked for
	firstLook  = 15.0 // s, before which a first reading says nothing yet
	stillGoing = 0.10 // of what it is beside a sound bench: a sound electrode that has more before it may show anything
)

// byAnswer are faults of which a reading alone says that something is wrong, and not what:
// their sign is how the meter answers an addition.
var byAnswer = map[string]bool{"cracked": true, "cap": true, "dry_tip": true, "swapped": true}

// wanders are faults by which a reading is unsteady as well as beside.
var wanders = map[string]bool{"dry_tip": true, "lead": true, "hole": true}

// sign is what the meter showed more than it would have shown on the same bench
// without a fault, pH, at each full second from 0.
type sign []float64

func (s sign) at(t float64) float64 {
	i := int(math.Round(t))
	if len(s) == 0 {
		return 0
	}
	return s[min(max(i, 0), len(s)-1)]
}

// Witness knows what a fault has shown up to some moment.
type Witness struct {
	fault Fault
	more  sign
	ahead sign    // what the meter of the sound bench still has to go, pH
	least float64 // pH
	doses []dose
	until float64
	noisy bool // the fault is noise
}

// dose is an addition: when its first drop fell and when it was recorded, s.
type dose struct{ from, t float64 }

// but is the exercise without some of its faults.
func (e *Exercise) but(not func(Fault) bool) *Exercise {
	x := *e
	x.Faults = slices.DeleteFunc(slices.Clone(e.Faults), not)
	return &x
}

// trace is what the meter showed at each full second until a time, without noise, and
// what it had still to go then.
func (e *Exercise) trace(r *replay.Run, s Slip, until float64) (out, ahead []float64, b *sim.Bench, err error) {
	p, err := e.play(s)
	if err != nil {
		return nil, nil, nil, err
	}
	p.every, p.look = 1, func(float64) {
		y := p.b.Shown()
		out, ahead = append(out, y), append(ahead, p.b.Rest()-y)
	}
	for ev := range r.Others {
		if ev.T > until {
			break
		}
		if err := p.take(ev); err != nil {
			return nil, nil, nil, err
		}
	}
	p.to(until)
	return out, ahead, p.b, nil
}

// Witness compares the run with the same run on a bench without the fault.
func (e *Exercise) Witness(r *replay.Run, s Slip, n Named) (*Witness, error) {
	w := &Witness{until: n.T, noisy: n.Name == "vortex"}
	for _, f := range e.Faults {
		if f.Name == n.Name {
			w.fault = f
		}
	}
	ill, _, b, err := e.trace(r, s, n.T)
	if err != nil {
		return nil, err
	}
	well, ahead, _, err := e.but(func(f Fault) bool { return f.Name == n.Name }).trace(r, s, n.T)
	if err != nil {
		return nil, err
	}
	for i := range min(len(ill), len(well)) {
		w.more = append(w.more, ill[i]-well[i])
	}
	w.ahead = ahead
	w.least = math.Max(leastSign, signNoises*b.Truth().Noise)
	given, drips := len(e.Given), player{drips: s.Drips, pace: dropEvery}
	for ev := range r.Others {
		if ev.Kind != journal.Added || ev.T > n.T {
			continue
		}
		if given > 0 {
			given--
			continue
		}
		w.doses = append(w.doses, dose{ev.T - drips.lead(ev), ev.T})
	}
	return w, nil
}

// Shows reports whether the reading, or the answer to the addition, that was
// pointed at shows the fault, and says what there was to be seen.
func (w *Witness) Shows(n Named) (bool, string) {
	switch {
	case math.IsNaN(n.At):
		return false, "nothing was pointed at"
	case n.At > w.until+beside:
		return false, "what was pointed at had not been read yet"
	case w.noisy:
		switch {
		case n.At < w.fault.OnsetS-beside || n.At > w.until+beside:
		case n.way != Unsaid && n.way != Unsteady:
			return false, "the readings there are many times less steady than before, and not " + string(n.way)
		default:
			return true, "the readings there are many times less steady than before"
		}
		return false, "the readings there are as steady as ever"
	}
	from, to := n.At-beside, math.Min(n.At+beside, w.until)
	if n.Dose {
		from, to = n.At, math.Min(w.after(n.At), w.until)
	}
	before := 0.0 // what it showed too much before the person did the last thing
	since, any := w.before(n.At)
	if any {
		before = w.more.at(since.from - 1)
	}
	if !any && byAnswer[w.fault.Name] {
		return false, "a reading alone says that something is wrong, and not what: the answer to an addition tells"
	}
	most := 0.0
	ways := map[Way]bool{Unsaid: true, Unsteady: wanders[w.fault.Name]}
	for t := math.Max(from, 0); t <= to; t++ {
		for i, d := range []float64{w.more.at(t) - before, w.more.at(t) - w.more.at(t-2*beside)} {
			if math.Abs(d) > math.Abs(most) {
				most = d
			}
			if i == 0 || any { // a first reading is too high or too low; an answer may come too late, and then at once
				ways[Higher], ways[Lower] = ways[Higher] || d >= w.least, ways[Lower] || d <= -w.least
			}
		}
		if !n.Dose { // what was asked is what the meter would show there without the fault
			d := w.more.at(t)
			ways[Higher], ways[Lower] = ways[Higher] || d >= w.least, ways[Lower] || d <= -w.least
		}
	}
	if left := math.Abs(w.ahead.at(math.Min(to, w.until))); !any && !n.Dose && (n.At < firstLook || left > math.Max(w.least, stillGoing*math.Abs(most))) {
		return false, "a sound electrode would still have been on its way there: too early to tell"
	}
	if math.Abs(most) >= w.least {
		what := "the first readings are"
		if any {
			what = "the answer to the addition at " + phrase.Clock(since.t) + " is"
		}
		if !ways[n.way] {
			return false, fmt.Sprintf("%s %.2f beside what a sound bench would show, and not %s", what, math.Abs(most), n.way)
		}
		return true, fmt.Sprintf("%s %.2f beside what a sound bench would show", what, math.Abs(most))
	}
	return false, fmt.Sprintf("the difference from a sound bench there is %.2f: too little to see", math.Abs(most))
}

// before is the addition at or before a time.
func (w *Witness) before(t float64) (dose, bool) {
	at, any := dose{}, false
	for _, d := range w.doses {
		if d.from <= t+0.5 {
			at, any = d, true
		}
	}
	return at, any
}

// after is until when an answer to an addition is looked for.
func (w *Witness) after(t float64) float64 {
	for _, d := range w.doses {
		if d.from > t+0.5 {
			return math.Min(d.from-1, t+lastsFor)
		}
	}
	return t + lastsFor
}

// First is when the fault could first be seen; false when it could not.
func (w *Witness) First() (float64, bool) {
	for t := 0.0; t <= w.until; t++ {
		if ok, _ := w.Shows(Named{T: w.until, At: t}); ok {
			return t, true
		}
	}
	return 0, false
}
