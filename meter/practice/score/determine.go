package score

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
)

// Figures of judgement of a determination, a choice of this project.
const (
	rightTimes = 2.0   // an answer within so many of the spread wanted is right,
	wrongTimes = 8.0   // and one this far off is worth nothing
	leastRight = 0.005 // relative: what is read off a curve by eye is no better
	rightPK    = 0.1   // pH, of a pK
	wrongPK    = 0.4
	looseTimes = 4.0 // so many times the spread that could be had, nothing is left
	wayLeft    = 0.05
)

const (
	keepAnswering = "an answer that is right: two good readings before the equivalence point, two beyond it, and the volume between"
	keepFewer     = "large additions on the flat parts, small ones where the curve is steep, and none where the answer gets no better"
)

// within is the share of an item by an error: all of it up to right, none from wrong on.
func within(x, right, wrong float64) float64 {
	return math.Max(0, math.Min(1, 1-(x-right)/(wrong-right)))
}

// right reports whether the answer is.
func (d *Determination) right() bool { return d.share() > 0.99 }

// share is what the answer is worth, from 0 to 1.
func (d *Determination) share() float64 {
	least := math.Max(leastRight, d.Wanted)
	share := within(d.Error, rightTimes*least, wrongTimes*least)
	if !math.IsNaN(d.errPK) {
		share = (share + within(d.errPK, rightPK, wrongPK)) / 2
	}
	return share
}

// determination judges the items of an exercise that looks for an amount.
func (j *judge) determination(d *Determination) {
	j.add("answer", j.answer(d))
	j.add("spread", j.spread(d))
	j.add("sides", j.sides(d))
	j.add("waiting", j.waiting())
	j.add("steps", j.additions())
	j.add("time", j.time())
	j.add("record", j.record())
}

func (j *judge) answer(d *Determination) mark {
	m := mark{share: d.share() * j.unasked(), t: j.res.Seconds}
	switch {
	case len(j.c.Stops) == 0:
		return nothing
	case d.Said == "" && j.slip.Coach != practice.Full:
		return mark{0, "no answer was entered", j.res.Seconds, "entering the answer before the end, as a remark: r, then answer 24.85 mL"}
	case d.Said == "":
		return mark{0, "the readings allow no answer", j.res.Seconds, keepAnswering}
	}
	m.why = fmt.Sprintf("%s, in truth %s", d.Said, d.Words())
	if j.slip.Coach != practice.Full {
		m.why += fmt.Sprintf(" and %.2f mL", d.ML)
	}
	if d.Error < 1 {
		m.why += fmt.Sprintf(": %.2g %% off", 100*d.Error)
	} else {
		m.why += ": the amount is missing"
	}
	if d.errPK < 1 {
		m.why += fmt.Sprintf(", the pK %.2f off", d.errPK)
	} else if !math.IsNaN(d.errPK) {
		m.why += ", the pK is missing"
	}
	m.keep = keepAnswering
	if d.right() {
		m.why, m.keep = m.why+j.askedWords(), keepAsking
	}
	return m
}

// spread judges how well the readings on record say the answer, whoever works it out:
// against what was wanted, or what the coach has reached where that was not to be had.
func (j *judge) spread(d *Determination) mark {
	if len(j.c.Stops) == 0 {
		return nothing
	}
	const keep = "readings at rest close before the equivalence point and just beyond it: they say most of it"
	rel, goal := d.known()
	if !(rel > 0) {
		return mark{0, "the readings allow no answer", j.res.Seconds, keep}
	}
	share := 1 - math.Log(rel/goal)/math.Log(looseTimes)
	return mark{share * j.unasked(), fmt.Sprintf("by its readings the answer is known to %.2g %%, %.2g %% was wanted, the coach came to %.2g %%", 100*rel, 100*d.Wanted, 100*d.Best),
		j.res.Seconds, j.or(share < 1, keep)}
}

// known is how well the readings say the answer, relative, and what was to be had.
func (d *Determination) known() (rel, goal float64) {
	return d.SD / d.Found, math.Max(d.Wanted, 1.1*d.Best)
}

// enough reports whether the answer is known as well as was to be had.
func (d *Determination) enough() bool {
	rel, goal := d.known()
	return rel > 0 && rel <= goal
}

func (j *judge) sides(d *Determination) mark {
	const keep = "one addition beyond the equivalence point, and its reading at rest"
	switch {
	case len(j.c.Stops) == 0:
		return nothing
	case d.enough() && d.Sides[0] != d.Sides[1]: // as the coach may leave it
		return mark{j.unasked(), "read at rest close to the equivalence point, and known as well as was wanted" + j.askedWords(), j.firstAsk(), keepAsking}
	case d.Sides[0] && d.Sides[1]:
		return mark{j.unasked(), "read at rest close before the equivalence point and close beyond it" + j.askedWords(), j.firstAsk(), keepAsking}
	case d.Sides[0]:
		return mark{0.5, "no reading at rest close beyond the equivalence point", j.res.Seconds, keep}
	case d.Sides[1]:
		return mark{0.5, "no reading at rest close before the equivalence point", j.res.Seconds, "a smaller addition when the pH begins to rise faster"}
	}
	return mark{0, "no reading at rest near the equivalence point", j.res.Seconds, keep}
}

// done reports whether a run that looks for an amount ended where the coach would have
// ended it: a reading that takes minutes to come to rest was good enough then.
func (j *judge) done() bool {
	return j.res.Sought != nil && j.run.End().AtLast().Advice.Do == coach.Stop
}

// onItsWay reports whether an addition fell on a reading that was still on its way:
// it stays in the account of the curve to the end.
func onItsWay(s replay.Step) bool {
	switch {
	case s.Undone || s.Before.Settled || asTold(s):
		return false
	case math.IsNaN(s.Before.Shown):
		return true
	}
	return math.Abs(s.Before.PH-s.Before.Shown) > wayLeft
}

// besideTelling is an addition beside the one that would have told most.
func besideTelling(s replay.Step) string {
	switch adv := s.Advised; {
	case adv.Do == coach.Stop.String():
		return "it was known already"
	case adv.Do != coach.Add.String():
		return "too early to say"
	case s.ML > 2*adv.ML:
		return ratio(s.ML/adv.ML) + " as much"
	case s.ML < adv.ML/2:
		return fmt.Sprintf("%.0f %% of it", 100*s.ML/adv.ML)
	}
	return "as the coach"
}

// determined tells what became of what was looked for.
func (j *judge) determined(say func(string, ...any)) {
	r, d := j.res, j.res.Sought
	say("%s in %s; in truth it is %s, with an equivalence point at %.2f mL.", phrase.Counted(r.Additions, "addition"), phrase.Clock(r.Seconds), d.Words(), d.ML)
	switch {
	case d.Said == "":
		say("No answer was given.")
	case j.slip.Coach == practice.Full:
		say("The answer of the run was %s.", d.Said)
	default:
		say("You put down %s.", d.Said)
	}
	if d.Found > 0 && j.slip.Coach != practice.Full {
		say("All readings together say %.4g ± %.2g %s.", d.Found, d.SD, d.Unit)
	}
	j.wrong(say)
}
