package practice

import (
	"math"
	"slices"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
)

// Figures for telling whether readings are those of the bench, a choice of this
// project. What is done at the bench and what is recorded of it are up to two ticks
// of the program apart, on a busy machine more: the readings themselves tell how
// late it was.
const (
	sameReading = 0.015 // pH
	sameShare   = 0.85
	leastKnown  = 20   // readings, below which nothing is said
	glance      = 0.25 // s between two looks at the bench
	slack       = 0.3  // s
	slackSpeed  = 0.12 // s of the wall
	sureNoises  = 4.0  // standard deviations, where the dice of the noise are not known
	nearby      = 4    // readings before and after, whose lateness counts
)

// paces are how the drops may have fallen, s between two: all at once, when another
// amount was typed than was counted; by themselves after Enter; by hand, counted.
var paces = []float64{0, dropEvery, 1.5}

// shown is the course of the display of a bench, without noise, for each of the paces.
type shown [][]float64

// within is the least and the most that it showed between two times, s.
func (s shown) within(from, to float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	i, k := int(math.Floor(from/glance)), int(math.Ceil(to/glance))
	for _, course := range s {
		for n := max(i, 0); n <= min(k, len(course)-1); n++ {
			low, high = math.Min(low, course[n]), math.Max(high, course[n])
		}
	}
	return low, high
}

// played is what a recorded electrode had more than the solution gave, in the course of a
// run, pH; nil for another. Which second of it a reading has hangs on when it was taken.
type played []float64

// between are those from one time to another, s.
func (p played) between(from, to float64) []float64 {
	i, k := max(int(math.Floor(from/glance)), 0), int(math.Ceil(to/glance))+1
	return p[min(i, len(p)):min(k, len(p))]
}

// sample is a reading of the journal beside what is known of it.
type sample struct {
	t, said float64 // s: when it was taken, and when it was recorded
	ph      float64 // as recorded
	noise   float64 // noise and rounding, as the dice of the bench have them
	loose   float64 // pH, by which it may be beside
}

// genuine is the share of the readings that the bench of the slip shows again
// when everything recorded is done to it once more; 1 when it cannot be told.
func (e *Exercise) genuine(r *replay.Run, s Slip) float64 {
	if !(s.Every > 0) {
		return 1
	}
	list, course, tape, err := e.samples(r, s)
	if err != nil {
		return 0
	}
	if len(list) < leastKnown {
		return 1
	}
	same := 0
	for i, x := range list {
		late := 0.0
		for _, y := range list[max(0, i-nearby):min(len(list), i+nearby+1)] {
			late = math.Max(late, y.said-y.t)
		}
		d := slack + slackSpeed*s.Speed + late
		low, high := course.within(x.t-d, x.t+d)
		fits := func(noise float64) bool {
			y := x.ph - noise
			return y >= low-x.loose && y <= high+x.loose
		}
		if fits(x.noise) || slices.ContainsFunc(tape.between(x.t-d, x.t+d), fits) {
			same++
		}
	}
	return float64(same) / float64(len(list))
}

// hand is how drops may have fallen.
type hand struct{ pace, early float64 }

// hands are the ways in which the drops of a run may have fallen. Where nothing stirs, what
// falls keeps back what fell before: a moment earlier may make another course of it.
func (e *Exercise) hands(s Slip) (out []hand) {
	for _, pace := range paces {
		if pace != 0 && !s.Drips {
			break
		}
		out = append(out, hand{pace, 0})
		if e.Has("unstirred") {
			out = append(out, hand{pace, slack + slackSpeed*s.Speed})
		}
	}
	return out
}

// samples does the run once more, at each of the paces, and takes its readings
// beside it.
func (e *Exercise) samples(r *replay.Run, s Slip) ([]sample, shown, played, error) {
	var read []journal.Event
	for ev := range r.Events {
		if ev.Kind == journal.Read {
			read = append(read, ev)
		}
	}
	times := e.readTimes(r, s.Every)
	var list []sample
	var courses shown
	var tape played
	for _, hands := range e.hands(s) {
		p, err := e.play(s)
		if err != nil {
			return nil, nil, nil, err
		}
		var course []float64
		list, tape = list[:0], nil
		recorded := p.b.Truth().Tape
		p.pace, p.early, p.every, p.look = hands.pace, hands.early, glance, func(float64) {
			course = append(course, p.b.Shown())
			if recorded != nil && recorded.More != nil { // no dice are thrown for it
				tape = append(tape, p.b.Read()-p.b.Shown())
			}
		}
		p.reads, p.read = times, func(i int) {
			if x, ok := e.sampled(p, read[i], times[i]); ok {
				list = append(list, x)
			}
		}
		if err := p.whole(r); err != nil {
			return nil, nil, nil, err
		}
		courses = append(courses, course)
	}
	return list, courses, tape, nil
}

// sampled is a reading beside the bench; false when it says nothing.
func (e *Exercise) sampled(p *player, ev journal.Event, at float64) (sample, bool) {
	x := sample{t: at, said: math.Max(ev.T, at), loose: sameReading}
	truth := p.b.Truth()
	y := p.b.Read() // draws the dice, also when they do not count
	switch {
	case ev.Reading.PH != nil:
		x.ph, x.noise = *ev.Reading.PH, y-p.b.Shown()
	case ev.Reading.MV != nil:
		x.ph = 7 - *ev.Reading.MV/(59.16+0.1984*(p.b.TempShown()-25)) // as the simulated electrode makes it
		x.loose += sureNoises * truth.Noise
	default:
		return x, false
	}
	for _, f := range e.Faults {
		if f.Name != "vortex" || at < f.OnsetS-2*beside {
			continue
		}
		if p.b.Ails("vortex") || at < f.OnsetS+2*beside {
			return x, false // noise, and no more
		}
		x.noise, x.loose = 0, sameReading+sureNoises*truth.Noise
	}
	return x, true
}
