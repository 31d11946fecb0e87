package practice

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/sim"
)

// Result is what became of an exercise, with its reasons.
type Result struct {
	Exercise string    `json:"exercise"`
	Title    string    `json:"title"`
	Digest   string    `json:"digest"`
	Seed     uint64    `json:"seed"`
	Coach    Coaching  `json:"coach"`
	Operator string    `json:"operator,omitempty"`
	Begun    time.Time `json:"begun"`
	Seconds  float64   `json:"seconds"`
	Ended    bool      `json:"ended"`

	Final     float64 `json:"final"` // true pH in use
	Target    float64 `json:"target"`
	Tolerance float64 `json:"tolerance"`
	In        bool    `json:"in_tolerance"`
	Over      int     `json:"overshoots"`
	Additions int     `json:"additions"`
	Limit     Peer    `json:"limit"` // all known but the scatter of drops
	Coached   Peer    `json:"coached"`

	Items  []Item  `json:"items"`
	Points float64 `json:"points"` // of 100

	Story   []string     `json:"story"`  // what happened
	Moment  Moment       `json:"moment"` // what mattered
	Compare []Comparison `json:"compare"`
	Asked   int          `json:"asked"` // times the coach was asked
	Learn   string       `json:"learn"`

	passed []passage
}

// Moment is the moment that mattered.
type Moment struct {
	T     float64 `json:"t"` // s of the run
	Words string  `json:"words"`
}

// Comparison is an addition beside what the coach would have said.
type Comparison struct {
	T       float64 `json:"t"`
	Did     string  `json:"did"`
	Coach   string  `json:"coach"`
	Verdict string  `json:"verdict"`
}

// Judge makes the result of a run from its journal alone.
func Judge(r *replay.Run) (Result, error) {
	slip, err := SlipOf(r.First)
	if err != nil {
		return Result{}, err
	}
	e, err := slip.Open()
	if err != nil {
		return Result{}, err
	}
	c, err := e.redo(r, slip.Seed)
	if err != nil {
		return Result{}, err
	}
	v := r.Review()
	res := Result{
		Exercise: e.Name, Title: e.Title, Digest: slip.Digest, Seed: slip.Seed, Coach: slip.Coach, Operator: v.Operator,
		Begun: v.Begun, Seconds: v.Seconds, Ended: v.Ended, Final: c.final, Target: v.Target, Tolerance: v.Tolerance,
		Asked: c.asked, Learn: e.Learn,
	}
	res.In = math.Abs(res.Final-res.Target) <= res.Tolerance+halfDigit
	res.passed = c.passages(res.Target, res.Tolerance+halfDigit)
	res.Over = len(res.passed)
	if res.Limit, err = e.limit(slip.Seed); err != nil {
		return res, err
	}
	if res.Coached, err = e.coached(slip.Seed); err != nil {
		return res, err
	}
	j := judge{e: e, slip: slip, run: r, view: v, c: c, res: &res}
	res.Additions = len(j.steps())
	j.items()
	j.total()
	j.compare()
	j.story()
	j.moment()
	return res, nil
}

// total is the points of 100.
func (j *judge) total() {
	got, of := 0.0, 0.0
	for _, i := range j.res.Items {
		got, of = got+i.Got, of+i.Of
	}
	j.res.Points = math.Round(100 * got / of)
}

func (j *judge) calibration() {
	var cal *calib.Calibration
	for e := range j.run.Others {
		if e.Kind == journal.Calibrated && string(e.Calibration) != "null" {
			c := calib.Calibration{}
			if json.Unmarshal(e.Calibration, &c) == nil {
				cal = &c
			}
		}
	}
	if cal == nil {
		j.add("calibrated", 0, forCalibration, "the electrode was not calibrated")
		return
	}
	use := calib.Use{At: cal.At, Target: j.view.Aim, Present: j.view.Final.PH, TempC: j.view.Final.TempC, Final: true}
	for _, f := range cal.For(use) {
		if f.Level == calib.Remark || f.Level == calib.Stop {
			j.add("calibrated", forCalibration/2, forCalibration, "%s", f.Text)
			return
		}
	}
	j.add("calibrated", forCalibration, forCalibration, "the standards stand on both sides of the aim, and the electrode passed")
}

// compare sets each addition beside what the coach would have said.
func (j *judge) compare() {
	for _, s := range j.steps() {
		c := Comparison{T: s.T, Did: gave(s.Drops, s.ML, s.Titrant), Coach: replay.AdviceText(s.Advised)}
		if s.Advised.Do == "add" {
			c.Coach = gave(s.Advised.Drops, s.Advised.ML, s.Advised.Titrant)
		}
		switch adv := s.Advised; {
		case adv.Do == "stop":
			c.Verdict = "it was done already"
		case adv.Do == "check":
			c.Verdict = "a look was due"
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
	end := "in tolerance"
	if !r.In {
		end = fmt.Sprintf("%.2f away from it", math.Abs(r.Final-r.Target))
	}
	if j.e.Finishes() {
		say("From pH %.2f to %.2f in %s and %s; the target is %.2f ± %s, and made up to the mark it is %s.",
			j.c.start, r.Final, plural(r.Additions, "addition"), replay.Clock(r.Seconds), r.Target, brief(r.Tolerance), end)
	} else {
		say("%s of looking, %s.", replay.Clock(r.Seconds), plural(r.Additions, "addition"))
	}
	for _, p := range r.passed {
		say("At %s an addition led to %.2f past the target.", replay.Clock(p.t), p.past)
	}
	for _, f := range j.e.Faults {
		if k, err := sim.FaultOf(f.Name); err == nil {
			say("What was wrong%s: %s. The sign of it: %s. The cure: %s.", since(f.OnsetS), k.Title, k.Sign, k.Cure)
		}
	}
	for _, m := range j.view.Spotted {
		say("Seen in the readings at %s: %s.", replay.Clock(m.T), m.Text)
	}
	if r.Coach != Full && len(r.Compare) > 0 {
		same := 0
		for _, c := range r.Compare {
			if c.Verdict == "as the coach" {
				same++
			}
		}
		say("In %d of %s you did what the coach would have said.", same, plural(len(r.Compare), "addition"))
	}
}

func since(onset float64) string {
	if onset <= 0 {
		return ""
	}
	return ", from " + replay.Clock(onset) + " on"
}

// moment finds what mattered most.
func (j *judge) moment() {
	j.res.Moment = Moment{T: j.res.Seconds, Words: "Nothing went wrong. Look at the end of the run, and at how little was needed."}
	if len(j.res.passed) > 0 {
		j.res.Moment = j.overshot(j.res.passed[0])
		return
	}
	if j.e.Find {
		if m, ok := j.unseen(); ok {
			j.res.Moment = m
			return
		}
	}
	if !j.res.In && j.e.Finishes() {
		j.res.Moment.Words = fmt.Sprintf("The run was ended at pH %.2f, %.2f from the target. The advice was: %s.",
			j.res.Final, math.Abs(j.res.Final-j.res.Target), j.lastAdvice())
		return
	}
	for _, s := range j.steps() {
		if hasty(s, j.res.Tolerance) {
			j.res.Moment = Moment{s.T, fmt.Sprintf("At %s %s fell while the meter showed %.2f on its way to %.2f. It went well this time.",
				replay.Clock(s.T), s.Amount(), s.Before.Shown, s.Before.PH)}
			return
		}
	}
}

// overshot is the moment of an overshoot, in the words of the replay when it
// could see it, else in those of who knows the bench.
func (j *judge) overshot(p passage) Moment {
	for _, s := range j.view.Steps {
		if s.Seq != p.seq {
			continue
		}
		for _, o := range j.view.Over {
			if o.Step == s.N {
				return Moment{s.T, o.Words}
			}
		}
		words := fmt.Sprintf("At %s %s went %.2f past the target. The meter showed %.2f; the coach would have said: %s.",
			replay.Clock(s.T), s.Amount(), p.past, s.Before.Shown, replay.AdviceText(s.Advised))
		return Moment{s.T, words}
	}
	return Moment{p.t, fmt.Sprintf("At %s the beaker went %.2f past the target.", replay.Clock(p.t), p.past)}
}

// unseen is the moment from which the fault could have been seen.
func (j *judge) unseen() (Moment, bool) {
	for _, n := range j.c.names {
		if n.right {
			return Moment{}, false
		}
	}
	f := j.e.Faults[0]
	k, err := sim.FaultOf(f.Name)
	if err != nil {
		return Moment{}, false
	}
	t := math.Min(f.OnsetS, j.res.Seconds)
	if f.OnsetS == 0 && len(j.c.stops) > 0 {
		t = j.c.stops[0].t
	}
	return Moment{t, fmt.Sprintf("From here on it could be seen: %s. That is %s.", k.Sign, k.Title)}, true
}

func (j *judge) lastAdvice() string {
	s := j.run.End()
	return replay.AdviceText(s.Look(s.T).Record())
}

func brief(x float64) string { return strconv.FormatFloat(x, 'g', 3, 64) }

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func timesOf(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

func ratio(x float64) string {
	if x < 10 {
		return fmt.Sprintf("%.1f ×", x)
	}
	return fmt.Sprintf("%.0f ×", x)
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
