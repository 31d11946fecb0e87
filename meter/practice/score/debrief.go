package score

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/sim"
)

// compare sets each addition beside what the coach would have said.
func (j *judge) compare() {
	for _, s := range j.steps() {
		c := Comparison{T: s.T, Did: gave(s.Drops, s.ML, s.Titrant), Coach: replay.AdviceText(s.Advised)}
		if s.Advised.Do == "add" {
			c.Coach = gave(s.Advised.Drops, s.Advised.ML, s.Advised.Titrant)
		}
		switch adv := s.Advised; {
		case j.res.Sought != nil:
			c.Verdict = besideTelling(s)
		case adv.Do == "stop":
			c.Verdict = "it was already done"
		case adv.Do == "check":
			c.Verdict = "a check was due"
		case adv.Do != "add":
			c.Verdict = "too early to say"
		case adv.Titrant != s.Titrant:
			c.Verdict = "another bottle"
		case s.ML > 1.1*adv.ML:
			c.Verdict = ratio(s.ML/adv.ML) + " what was safe"
		case s.ML < 0.6*adv.ML:
			c.Verdict = "less than was safe"
		default:
			c.Verdict = "as the coach"
		}
		j.res.Compare = append(j.res.Compare, c)
	}
}

// gave is an amount in few words.
func gave(drops, ml float64, titrant string) string {
	switch {
	case drops == 1:
		return "1 drop of " + titrant
	case drops > 0:
		return fmt.Sprintf("%g drops of %s", drops, titrant)
	}
	return fmt.Sprintf("%.3g mL of %s", ml, titrant)
}

// story says what happened, in a few sentences.
func (j *judge) story() {
	r := j.res
	say := func(format string, a ...any) { r.Story = append(r.Story, fmt.Sprintf(format, a...)) }
	if r.Sought != nil {
		j.determined(say)
		return
	}
	end := "in tolerance"
	if !r.In {
		end = fmt.Sprintf("%.2f away from it", math.Abs(r.Final-r.Target))
	}
	if j.e.Finishes() {
		say("From pH %.2f to %.2f in %s and %s; the target is %.2f ± %s, and made up to the mark it is %s.",
			j.c.Start, r.Final, phrase.Counted(r.Additions, "addition"), phrase.Clock(r.Seconds), r.Target, phrase.Digits(r.Tolerance, 3), end)
	} else {
		say("%s of waiting, %s.", phrase.Clock(r.Seconds), phrase.Counted(r.Additions, "addition"))
	}
	for _, p := range r.passed {
		say("At %s an addition went %.2f past the target.", phrase.Clock(p.T), p.Past)
	}
	j.wrong(say)
	if _, licence, ok := strings.Cut(j.e.Recording(), "Licence: "); ok {
		say("The electrode of this bench was a recorded one: what it did is from an open recording (%s).", strings.TrimSuffix(strings.TrimSpace(licence), "."))
	}
	for _, m := range j.view.Spotted {
		if j.putRight(m.T) {
			continue
		}
		say("Seen in the readings at %s: %s.", phrase.Clock(m.T), m.Text)
	}
	if r.Coach != practice.Full && len(r.Compare) > 0 {
		same := 0
		for _, c := range r.Compare {
			if c.Verdict == "as the coach" {
				same++
			}
		}
		say("In %d of %s you did what the coach would have said.", same, phrase.Counted(len(r.Compare), "addition"))
	}
}

// mending is for how long the readings go back to the beaker once a fault was put right, s; a
// choice of this project.
const mending = 60.0

// putRight reports whether readings of a time move because a fault was put right: nothing fell
// then, and nothing else is wrong.
func (j *judge) putRight(t float64) bool {
	return slices.ContainsFunc(j.c.Names, func(n practice.Named) bool { return n.Right && n.T <= t && t < n.T+mending })
}

// wrong says which faults the bench had.
func (j *judge) wrong(say func(string, ...any)) {
	for _, f := range j.e.Faults {
		since := ""
		if f.OnsetS > 0 {
			since = ", from " + phrase.Clock(f.OnsetS) + " on"
		}
		if k, err := sim.FaultOf(f.Name); err == nil {
			say("What was wrong%s: %s. Its sign: %s. The cure: %s.", since, k.Title, k.Sign, k.Cure)
		}
	}
}

// moment is the dearest lost point: what it was and what would have kept it.
func (j *judge) moment() {
	worst := Item{}
	for _, i := range j.res.Items {
		if i.Of-i.Got > worst.Of-worst.Got && i.Keep != KeepFinishing { // that is a consequence
			worst = i
		}
	}
	lost := worst.Of - worst.Got
	if lost <= 0 {
		j.res.Moment = Moment{T: j.res.Seconds, Words: "No points were lost. Look at the end of the run, and at how little was needed."}
		return
	}
	why := worst.Why
	if own := j.own(); (worst.Key == "overshoot" || worst.Key == "aim") && len(own) > 0 { // that is where it was lost
		why, worst.T, worst.Keep = j.overshot(own[0]), own[0].T, j.smaller(own[0])
	}
	j.res.Moment = Moment{T: worst.T, Lost: true, Words: fmt.Sprintf("The costliest loss, %.2g of %.2g for %q: %s. What would have saved it: %s.", lost, worst.Of, worst.Name, why, worst.Keep)}
}

// overshot says what an addition did that went past the target.
func (j *judge) overshot(p practice.Passage) string {
	for _, s := range j.view.Steps {
		if s.Seq == p.Seq {
			return fmt.Sprintf("at %s %s went %.2f past the target; before them the meter showed %.2f, and the coach would have said: %s",
				phrase.Clock(s.T), s.Amount(), p.Past, s.Before.Shown, strings.TrimSuffix(replay.AdviceText(s.Advised), "."))
		}
	}
	return fmt.Sprintf("at %s the beaker went %.2f past the target", phrase.Clock(p.T), p.Past)
}

func ratio(x float64) string {
	if x < 10 {
		return fmt.Sprintf("%.1f ×", x)
	}
	return fmt.Sprintf("%.0f ×", x)
}
