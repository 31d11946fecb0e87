package score

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/sim"
)

// Item is one line of the score.
type Item struct {
	Key   string         `json:"key"`
	Name  string         `json:"name"`
	Skill practice.Skill `json:"skill"`
	Got   float64        `json:"got"`
	Of    float64        `json:"of"`
	Why   string         `json:"why"`
	T     float64        `json:"t"`              // s of the run, at which most of the loss was made
	Keep  string         `json:"keep,omitempty"` // what would have kept the points; empty at full points
}

// Figures of judgement, a choice of this project.
const (
	perOvershoot = 0.5  // of the points of the item
	asking       = 0.85 // of what an addition is worth, when the coach was asked about it
	freeAdds     = 1    // additions more than who is better
	leastSpan    = 4    // additions more, at which nothing is left
	parTimes     = 2.0  // full points up to that many times par, none at three times that
	handling     = 10.0 // s of the wall that one addition takes a person
	littleSalt   = 0.02 // of the buffer: acid and base that only made salt
	muchSalt     = 0.30
	worthWaiting = 0.15 // share of the way left that a reading may still have to go
	justBeside   = 0.3  // of the points of the aim, within twice the tolerance
	asAdvised    = 0.6  // share of what was advised, from which on it was done
	logged       = 0.10 // share by which the log may differ from what fell
)

// judge makes the items of a score.
type judge struct {
	e     *practice.Exercise
	slip  practice.Slip
	run   *replay.Run
	view  replay.Review
	c     *practice.Course
	res   *Result
	worth map[string]float64
	shown float64 // share of the faults that was named, with what shows it
}

// mark is what came of an item: a share of its points from 0 to 1.
type mark struct {
	share float64
	why   string
	t     float64
	keep  string
}

func (j *judge) add(key string, m mark) {
	of := j.worth[key]
	if of == 0 {
		return
	}
	m.share = math.Max(0, math.Min(1, m.share))
	i := Item{Key: key, Name: practice.AspectOf(key).Name, Skill: practice.AspectOf(key).Skill, Of: phrase.Decimals(of, 1), Got: phrase.Decimals(of*m.share, 1), Why: m.why, T: m.t}
	if i.Got < i.Of {
		i.Keep = m.keep
	}
	j.res.Items = append(j.res.Items, i)
}

// items judges what there are points for, in the order of what weighs.
func (j *judge) items() error {
	j.worth = j.e.Points()
	if j.worth["faults"] > 0 {
		if err := j.faults(); err != nil {
			return err
		}
	}
	j.add("untouched", j.untouched())
	j.add("calibration", j.calibration())
	if j.res.Sought != nil {
		j.determination(j.res.Sought)
		return nil
	}
	j.add("aim", j.aim())
	j.add("overshoot", j.overshoot())
	j.add("back", j.back())
	j.add("waiting", j.waiting())
	j.add("bottle", j.bottle())
	j.add("steps", j.additions())
	j.add("salt", j.salt())
	j.add("time", j.time())
	j.add("record", j.record())
	return nil
}

// nothing is the mark of who added nothing.
var nothing = mark{0, "nothing was added", 0, "an addition, however small"}

func (j *judge) aim() mark {
	off := math.Abs(j.res.Final - j.res.Target)
	m := mark{t: j.res.Seconds, keep: "carrying on until the reading is at the aim, at rest"}
	truly := map[bool]string{true: " in truth,"}[j.e.Calibrate != nil]
	said := fmt.Sprintf("%.2f%s made up to the mark, for %.2f ± %s: ", j.res.Final, truly, j.res.Target, phrase.Digits(j.res.Tolerance, 3))
	near := off <= 2*j.res.Tolerance+practice.HalfDigit
	switch {
	case len(j.c.Stops) == 0 && !j.res.In:
		return nothing
	case j.res.In:
		m.share, m.why = 1, said+"in tolerance"
	case near && j.view.InAim && j.e.Calibrate == nil:
		m.share, m.why = 1, said+"just outside, and the meter at rest showed it inside"
	case near:
		m.share, m.why = justBeside, said+"just outside"
	default:
		m.why = said + fmt.Sprintf("%.2f off", off)
	}
	return m
}

// own are the passages that are the person's own: what the coach would have given
// costs nothing.
func (j *judge) own() []practice.Passage {
	told := map[int64]bool{}
	for _, s := range j.steps() {
		told[s.Seq] = asTold(s)
	}
	return slices.DeleteFunc(slices.Clone(j.res.passed), func(p practice.Passage) bool { return told[p.Seq] })
}

func (j *judge) overshoot() mark {
	if len(j.c.Stops) == 0 {
		return nothing
	}
	own := j.own()
	m := mark{share: (1 - perOvershoot*float64(len(own))) * j.unasked(), why: "the beaker never went past aim and tolerance"}
	if m.share < 1 {
		m.why, m.t, m.keep = m.why+j.askedWords(), j.firstAsk(), keepAsking
	}
	if n := len(j.res.passed); n > 0 {
		worst := slices.MaxFunc(j.res.passed, func(a, b practice.Passage) int { return cmp.Compare(a.Past, b.Past) })
		m.why = fmt.Sprintf("overshot %s, by %.2f at most", phrase.Times(n), worst.Past)
		if len(own) < n {
			m.why += fmt.Sprintf("; %d of them no larger than the coach would have given, which costs nothing", n-len(own))
		}
		if len(own) > 0 {
			m.t, m.keep = own[0].T, j.smaller(own[0])
		}
	}
	return m
}

// What would have kept a run from going past its aim.
const (
	keepSmaller = "a smaller step: half of what the last answer says is left"
	keepFirst   = "a small first step: its answer says how large the next may be"
)

// smaller is what would have kept a passage from happening: what the coach had ordered on
// the screen, else a smaller step. A first addition has no answer before it to go by.
func (j *judge) smaller(p practice.Passage) string {
	steps := j.steps()
	for i, s := range steps {
		switch {
		case s.Seq != p.Seq:
		case j.res.Coach == practice.Full && s.Advised.Do == coach.Add.String() && s.Advised.Titrant == s.Titrant && s.Recorded:
			return "giving what was ordered: " + strings.TrimPrefix(replay.AdviceText(s.Advised), "add ")
		case i == 0:
			return keepFirst
		}
	}
	return keepSmaller
}

// hasty reports whether an addition fell on a reading that was still on its way: by what
// the meter really had before it, and not by what the coach made of its readings.
func (j *judge) hasty(s replay.Step) bool {
	switch {
	case j.res.Sought != nil:
		return onItsWay(s)
	case s.Undone || s.Before.Settled || asTold(s):
		return false
	case math.IsNaN(s.Before.Shown):
		return true
	}
	for _, c := range j.c.Stops {
		if c.Seq == s.Seq {
			return c.Ahead > math.Max(j.res.Tolerance/2, worthWaiting*math.Abs(c.Rest-s.Before.Aim))
		}
	}
	return false
}

// asTold reports whether an addition was no more than what was advised.
func asTold(s replay.Step) bool {
	return s.Advised.Do == coach.Add.String() && s.Advised.Titrant == s.Titrant && s.ML <= s.Advised.ML*1.001
}

// justAsTold reports whether an addition was what was advised, and not a part of it.
func justAsTold(s replay.Step) bool { return asTold(s) && s.ML >= asAdvised*s.Advised.ML }

func (j *judge) waiting() mark {
	n, all, first := 0, 0, math.NaN()
	for _, s := range j.steps() {
		if all++; j.hasty(s) {
			if n++; n == 1 {
				first = s.T
			}
		}
	}
	switch {
	case all == 0:
		return nothing
	case n == 0:
		return mark{j.unasked(), "every addition fell on a reading that was good enough" + j.askedWords(), j.firstAsk(), keepAsking}
	}
	return mark{(1 - 2*float64(n)/float64(all)) * j.unasked(), fmt.Sprintf("%d of %s fell on a reading that was still on its way", n, phrase.Counted(all, "addition")), first,
		"waiting until the reading has settled before the next addition"}
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

// unasked is what is left of what the additions are worth after asking.
func (j *judge) unasked() float64 {
	n := len(j.steps())
	if n == 0 || j.res.Asked == 0 {
		return 1
	}
	return 1 - asking*float64(min(j.res.Asked, n))/float64(n)
}

const keepAsking = "fewer questions: a guess of your own first, and asking only where it matters"

func (j *judge) askedWords() string {
	if j.res.Asked == 0 {
		return ""
	}
	return fmt.Sprintf("; the coach was asked about %d of %s", min(j.res.Asked, len(j.steps())), phrase.Counted(len(j.steps()), "addition"))
}

func (j *judge) firstAsk() float64 {
	if len(j.c.Asks) > 0 {
		return j.c.Asks[0]
	}
	return 0
}

func titleOf(fault string) string {
	k, err := sim.FaultOf(fault)
	if err != nil {
		return fault
	}
	return k.Title
}
