package practice

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib/nernst"
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
	cameBack    = 0.7   // the same, where the readings are those of the bench again in the end
	leastKnown  = 20    // readings, below which nothing is said
	glance      = 0.25  // s between two looks at the bench
	slack       = 0.3   // s
	slackSpeed  = 0.12  // s of the wall
	sureNoises  = 4.0   // standard deviations, where the dice of the noise are not known
	sameDice    = 0.4   // correlation
	calm        = 0.004 // pH, that a display moves over three readings at most
	leastThrows = 50    // readings, below which the dice say nothing
	sameSecond  = 0.004 // pH
	someExact   = 0.2   // of the readings
	farThrow    = 5.0   // times the scatter of what was thrown
	nearby      = 4     // readings before and after, whose lateness counts
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
	shown   float64 // of the bench then, without noise; NaN where the noise is not known
	thrown  float64 // noise before it was rounded
	off     float64 // pH, by which it is beside at its very time, at the pace that fits it best
}

// Strange says why the readings are not those of the bench of the slip, when everything
// recorded is done to it once more; empty when they are, or when it cannot be told.
func (e *Exercise) Strange(r *replay.Run, s Slip) string {
	share, alike := e.genuine(r, s)
	switch {
	case share < sameShare:
		return fmt.Sprintf("only %.0f %% of the readings are those of its bench", 100*share)
	case !alike:
		return "the readings are near those of its bench, but not those: neither their noise nor their second is"
	}
	return ""
}

// genuine is the share of the readings that the bench of the slip shows again
// when everything recorded is done to it once more, and whether the rest, noise and
// second, agrees; 1 and true when it cannot be told.
func (e *Exercise) genuine(r *replay.Run, s Slip) (share float64, alike bool) {
	if !(s.Every > 0) {
		return 1, true
	}
	list, course, tape, err := e.samples(r, s)
	if err != nil {
		return 0, false
	}
	if len(list) < leastKnown {
		return 1, true
	}
	same, atLast := 0, 0
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
		atLast++
		if fits(x.noise) || slices.ContainsFunc(tape.between(x.t-d, x.t+d), fits) {
			same++
		} else {
			atLast = 0
		}
	}
	share, alike = float64(same)/float64(len(list)), sameSeconds(list) && dice(list, tape != nil)
	if alike && atLast >= leastKnown && share >= cameBack {
		share = math.Max(share, sameShare) // something fell at another moment, and nothing else
	}
	return share, alike
}

// sameSeconds reports whether some of the readings are what the bench showed at their very
// second, noise and all: those of a run that was moved a little are near it all the time,
// and hardly ever there. True where it cannot be told.
func sameSeconds(list []sample) bool {
	exact, known := 0, 0
	for _, x := range list {
		if !math.IsNaN(x.shown) {
			known++
			if x.off < sameSecond {
				exact++
			}
		}
	}
	return known < leastThrows || float64(exact) >= someExact*float64(known)
}

// dice reports whether the noise of readings is that of the dice of the bench: whoever says
// that a run is of another bench has other dice, however much the two benches are alike.
// What tells is how a reading stands out from its neighbours. The noise of a recorded
// electrode is the same on each bench. True where it cannot be told.
func dice(list []sample, recorded bool) bool {
	if recorded {
		return true
	}
	var said, rounded, thrown []float64
	for i := 2; i < len(list); i++ {
		a, b, c := list[i-2], list[i-1], list[i]
		if bend := a.shown - 2*b.shown + c.shown; !(math.Abs(bend) < calm) { // also NaN
			continue
		}
		said = append(said, a.ph-a.shown-2*(b.ph-b.shown)+c.ph-c.shown)
		rounded = append(rounded, a.noise-2*b.noise+c.noise)
		thrown = append(thrown, a.thrown-2*b.thrown+c.thrown)
	}
	return len(said) < leastThrows || math.Max(together(said, rounded), together(said, thrown)) >= sameDice
}

// together is the correlation of two lists about zero, without what is far from what was
// thrown: that is no noise, but something that fell at another moment. 0 where one says nothing.
func together(said, thrown []float64) float64 {
	sum := 0.0
	for _, y := range thrown {
		sum += y * y
	}
	most := math.Max(farThrow*math.Sqrt(sum/float64(len(thrown))), 2*HalfDigit)
	var xy, xx, yy float64
	for i, x := range said {
		if y := thrown[i]; math.Abs(x) <= most {
			xy, xx, yy = xy+x*y, xx+x*x, yy+y*y
		}
	}
	if xx == 0 || yy == 0 {
		return 0
	}
	return xy / math.Sqrt(xx*yy)
}

// hand is how drops may have fallen.
type hand struct {
	pace, early float64
	told, even  bool // as in player
}

// hands are the ways in which the drops of a run may have fallen. Where nothing stirs, what
// falls keeps back what fell before: a moment earlier may make another course of it.
func (e *Exercise) hands(r *replay.Run, s Slip) (out []hand) {
	for _, pace := range paces {
		if pace != 0 && !s.Drips {
			break
		}
		out = append(out, hand{pace: pace})
		if e.Has("unstirred") {
			out = append(out, hand{pace: pace, early: slack + slackSpeed*s.Speed})
		}
	}
	if s.Drips && countedLate(r) {
		out = append(out, hand{pace: dropEvery, told: true}, hand{pace: dropEvery, told: true, even: true})
	}
	return out
}

// countedLate reports whether drops were counted as they fell, slowly or with a pause before
// they were put on record.
func countedLate(r *replay.Run) bool {
	for ev := range r.Others {
		if a := ev.Added; a != nil && a.From != nil && ev.T-*a.From > dropEvery*math.Ceil(a.Drops) {
			return true
		}
	}
	return false
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
	fine, digits, err := e.unrounded(s)
	if err != nil {
		return nil, nil, nil, err
	}
	var list []sample
	var courses shown
	var tape played
	off := slices.Repeat([]float64{math.Inf(1)}, len(read))
	for _, hands := range e.hands(r, s) {
		p, err := fine.play(s)
		if err != nil {
			return nil, nil, nil, err
		}
		var course []float64
		list, tape = list[:0], nil
		recorded := p.b.Truth().Tape
		p.pace, p.early, p.told, p.even = hands.pace, hands.early, hands.told, hands.even
		p.every, p.look = glance, func(float64) {
			course = append(course, p.b.Shown())
			if recorded != nil && recorded.More != nil { // no dice are thrown for it
				tape = append(tape, p.b.Read()-p.b.Shown())
			}
		}
		p.reads, p.read = times, func(i int) {
			if x, ok := e.sampled(p, read[i], times[i], digits); ok {
				if by := math.Abs(x.ph - x.noise - x.shown); by < off[i] { // also not NaN
					off[i] = by
				}
				x.off = off[i]
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

// unroundedTo is more digits than any meter shows.
const unroundedTo = 9

// unrounded is the exercise with a meter that does not round, and the digits of the one that
// it has.
func (e *Exercise) unrounded(s Slip) (*Exercise, int, error) {
	b, _, err := e.NewBench(s.Seed)
	if err != nil {
		return nil, 0, err
	}
	x, digits := *e, unroundedTo
	x.Bench.Decimals = &digits
	return &x, b.Truth().Decimals, nil
}

// sampled is a reading beside the bench; false when it says nothing.
func (e *Exercise) sampled(p *player, ev journal.Event, at float64, digits int) (sample, bool) {
	x := sample{t: at, said: math.Max(ev.T, at), loose: sameReading, shown: math.NaN()}
	truth := p.b.Truth()
	raw := p.b.Read() // draws the dice, also when they do not count
	y := math.Round(raw*math.Pow10(digits)) / math.Pow10(digits)
	switch {
	case ev.Reading.PH != nil:
		x.ph, x.noise, x.shown, x.thrown = *ev.Reading.PH, y-p.b.Shown(), p.b.Shown(), raw-p.b.Shown()
	case ev.Reading.MV != nil:
		x.ph = nernst.PH(*ev.Reading.MV, chem.Celsius(p.b.TempShown())) // as the simulated electrode makes it
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
		x.noise, x.loose, x.shown = 0, sameReading+sureNoises*truth.Noise, math.NaN()
	}
	return x, true
}

// HalfDigit is half of the last digit that most meters show, pH.
const HalfDigit = 0.005
