package practice

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/sim"
)

// Item is one line of the score.
type Item struct {
	Name string  `json:"name"`
	Got  float64 `json:"got"`
	Of   float64 `json:"of"`
	Why  string  `json:"why"`
}

// What there is to be had. All weights are a choice of this project: getting
// there without an overshoot is half of it.
const (
	forTolerance   = 30.0
	forNoOvershoot = 20.0
	forAdditions   = 10.0
	forTime        = 10.0
	forWaiting     = 10.0
	forCalibration = 10.0
	forVolume      = 5.0
	forSalt        = 5.0
	forFault       = 30.0
	forUntouched   = 20.0
)

// Figures of judgement, a choice of this project.
const (
	perOvershoot = 10.0 // points
	perWrongName = 10.0
	perAddition  = 2.5  // points for each addition beyond the free ones
	freeAdds     = 2    // additions more than the least
	parTimes     = 2.0  // full points up to that many times par, none at three times that
	handling     = 10.0 // s of the wall that one addition takes a person
	littleSalt   = 0.02 // of the buffer: acid and base that only made salt
	muchSalt     = 0.30
	halfDigit    = 0.005 // pH, half of the last digit that most meters show
	worthWaiting = 0.15  // share of the way left that a reading may still have to go
)

// lookedFirst is the item of an exercise in which nothing is to be added.
const lookedFirst = "looked before dripping"

// judge makes the items of a score.
type judge struct {
	e    *Exercise
	slip Slip
	run  *replay.Run
	view replay.Review
	c    *course
	res  *Result
}

func (j *judge) add(name string, got, of float64, format string, a ...any) {
	j.res.Items = append(j.res.Items, Item{name, math.Round(10*math.Max(0, math.Min(got, of))) / 10, of, fmt.Sprintf(format, a...)})
}

func (j *judge) items() {
	if j.e.Find {
		j.fault()
	}
	if !j.e.Finishes() {
		j.untouched()
		return
	}
	j.tolerance()
	j.overshoot()
	j.waiting()
	if j.e.Calibrate != nil {
		j.calibration()
	}
	j.additions()
	j.time()
	j.volume()
	j.salt()
}

func (j *judge) tolerance() {
	off := j.res.Final - j.res.Target
	got := 0.0
	words := "%.2f made up to the mark, for %.2f ± %s: %s"
	verdict := "in tolerance"
	switch tol := j.res.Tolerance; {
	case j.res.In:
		got = forTolerance
	case math.Abs(off) <= 2*tol+halfDigit:
		got, verdict = forTolerance/3, "just outside"
	default:
		verdict = fmt.Sprintf("%.2f off", math.Abs(off))
	}
	j.add("in tolerance", got, forTolerance, words, j.res.Final, j.res.Target, brief(j.res.Tolerance), verdict)
}

func (j *judge) overshoot() {
	n := len(j.res.passed)
	switch {
	case len(j.c.stops) == 0:
		j.add("no overshoot", 0, forNoOvershoot, "nothing was added")
	case n == 0:
		j.add("no overshoot", forNoOvershoot, forNoOvershoot, "the beaker never went past aim and tolerance")
	default:
		worst := 0.0
		for _, p := range j.res.passed {
			worst = math.Max(worst, p.past)
		}
		j.add("no overshoot", forNoOvershoot-perOvershoot*float64(n), forNoOvershoot, "past the aim or further %s, by %.2f at most", timesOf(n), worst)
	}
}

// hasty reports whether an addition fell on a reading that was still on its way.
func hasty(s replay.Step, tolerance float64) bool {
	switch {
	case s.Undone || s.Before.Settled || asTold(s):
		return false
	case math.IsNaN(s.Before.Shown):
		return true
	}
	ahead := math.Abs(s.Before.PH - s.Before.Shown)
	return ahead > math.Max(tolerance/2, worthWaiting*math.Abs(s.Before.PH-s.Before.Aim))
}

// asTold reports whether an addition was no more than what was advised.
func asTold(s replay.Step) bool {
	return s.Advised.Do == coach.Add.String() && s.Advised.Titrant == s.Titrant && s.ML <= s.Advised.ML*1.001
}

func (j *judge) waiting() {
	n, all := 0, 0
	for _, s := range j.steps() {
		if all++; hasty(s, j.res.Tolerance) {
			n++
		}
	}
	switch {
	case all == 0:
		j.add("waited for settling", 0, forWaiting, "nothing was added")
	case n == 0:
		j.add("waited for settling", forWaiting, forWaiting, "every addition fell on a reading that was good enough to go by")
	default:
		j.add("waited for settling", forWaiting*(1-2*float64(n)/float64(all)), forWaiting,
			"%d of %d additions fell on a reading that was still on its way", n, all)
	}
}

// steps are the additions of the person that count.
func (j *judge) steps() []replay.Step {
	var out []replay.Step
	for i, s := range j.view.Steps {
		if i >= len(j.e.Given) && !s.Undone {
			out = append(out, s)
		}
	}
	return out
}

// economy adds an item that counts only when the buffer has come out right.
func (j *judge) economy(name string, got, of float64, format string, a ...any) {
	if !j.res.In {
		j.add(name, 0, of, "counts when the buffer is in tolerance")
		return
	}
	j.add(name, got, of, format, a...)
}

func (j *judge) additions() {
	n, least := len(j.steps()), j.res.Limit.Additions
	more := math.Max(0, float64(n-least-freeAdds))
	j.economy("additions", forAdditions-perAddition*more, forAdditions,
		"%s; who knew the bench would have needed %d, the coach %d", plural(n, "addition"), least, j.res.Coached.Additions)
}

func (j *judge) time() {
	l, c, speed := j.res.Limit, j.res.Coached, math.Max(j.slip.Speed, 0.1)
	par := math.Max(l.Seconds, c.Seconds) + speed*handling*float64(2+l.Additions)
	t := j.res.Seconds - j.firstReading()
	got := forTime * (1 - (t/par-parTimes)/(2*parTimes))
	j.economy("time", got, forTime, "%s; who knew the bench would have needed %s, the coach %s without a hand's time",
		replay.Clock(t), replay.Clock(l.Seconds), replay.Clock(c.Seconds))
}

// firstReading is when the time began to count: a calibration goes before, s.
func (j *judge) firstReading() float64 {
	for e := range j.run.Events {
		if e.Kind == journal.Read {
			return e.T
		}
	}
	return 0
}

func (j *judge) volume() {
	v := j.run.End().Look(j.res.Seconds)
	if over := v.Volume - v.Final; over > 0 {
		j.economy("volume", 0, forVolume, "%.1f mL over the mark: the buffer is thinner than planned", over.Millilitres())
		return
	}
	j.economy("volume", forVolume, forVolume, "%.1f mL left under the mark", (v.Final - v.Volume).Millilitres())
}

// salt counts acid and base that took each other away.
func (j *judge) salt() {
	s := j.run.End()
	sum, size, buffer := 0.0, 0.0, 0.0
	for _, st := range j.steps() {
		for k, stock := range s.Setup.Stocks {
			if stock.Name == st.Titrant {
				q := s.Bench().LabelledCharge(coach.Addition{Stock: k, Volume: chem.Volume(st.ML) * chem.Millilitre})
				sum, size = sum+q, size+math.Abs(q)
			}
		}
	}
	for _, t := range s.Setup.Content().Systems {
		buffer += float64(t.Amount)
	}
	waste := (size - math.Abs(sum)) / 2
	share := waste / buffer
	got := forSalt * (1 - (share-littleSalt)/(muchSalt-littleSalt))
	if waste < 1e-9 {
		j.economy("salt", forSalt, forSalt, "no acid and base against each other")
		return
	}
	j.economy("salt", got, forSalt, "%.2g mmol of acid and base against each other, %.0f %% of the buffer, left as salt", waste*1e3, share*100)
}

func (j *judge) fault() {
	wrong := 0
	for _, n := range j.c.names {
		if !n.right {
			wrong++
			continue
		}
		j.add("the fault", forFault-perWrongName*float64(wrong), forFault, "named at %s: %s%s", replay.Clock(n.t), titleOf(n.name), afterWrong(wrong))
		return
	}
	j.add("the fault", 0, forFault, "not named: %s%s", titleOf(j.e.Faults[0].Name), afterWrong(wrong))
}

func afterWrong(n int) string {
	if n == 0 {
		return ""
	}
	return ", after " + plural(n, "wrong name")
}

// untouched judges a beaker that should have been left alone.
func (j *judge) untouched() {
	if n := len(j.c.stops); n > 0 {
		j.add(lookedFirst, forUntouched-perOvershoot*float64(n), forUntouched, "%s into a beaker that cannot be finished", plural(n, "addition"))
		return
	}
	j.add(lookedFirst, forUntouched, forUntouched, "nothing was added")
}

func titleOf(fault string) string {
	k, err := sim.FaultOf(fault)
	if err != nil {
		return fault
	}
	return k.Title
}
