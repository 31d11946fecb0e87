package practice

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/sim"
)

// Limits of an exercise, far above what one needs.
const (
	maxStory  = 4000
	maxFaults = 20
	maxGiven  = 100
)

func (c *checker) check() {
	e := c.e
	if !goodName.MatchString(e.Name) {
		c.bad("name", "one like cold-room", "use small letters, digits and hyphens, not %q", e.Name)
	}
	for _, t := range []struct{ key, text, try string }{
		{"title", e.Title, "a few words for the list"}, {"story", e.Story, "where and what for, without names of people"},
		{"goal", e.Goal, "what is to be done"}, {"coach", string(e.Coach), "full, ask or off"},
	} {
		if strings.TrimSpace(t.text) == "" {
			c.bad(t.key, t.try, "missing")
		}
	}
	for _, t := range []struct {
		key, text string
		most      int
	}{{"name", e.Name, 60}, {"title", e.Title, intake.MaxName}, {"story", e.Story, maxStory}, {"goal", e.Goal, maxStory}, {"learn", e.Learn, maxStory}, {"notes", e.Notes, maxStory}} {
		if err := intake.Words(t.text, t.most); err != nil {
			c.bad(t.key, "plain words", "%v", err)
		}
	}
	if n := len(e.Faults); n > maxFaults {
		c.bad("fault", "one or two are enough to find", "%d of them; %d are possible", n, maxFaults)
	}
	if n := len(e.Given); n > maxGiven {
		c.bad("given", "the additions made before the run", "%d of them; %d are possible", n, maxGiven)
	}
	if err := e.Coach.Check(); err != nil && e.Coach != "" {
		c.bad("coach", "full is the coach as at the bench, ask only when it is asked", "%v", err)
	}
	if e.Level < 1 || e.Level > Steps {
		c.bad("level", "1 is the easiest", "must be 1 to %d, not %d", Steps, e.Level)
	}
	c.weights()
	if e.Seed == 0 {
		c.bad("seed", "any number above zero, so that everybody can have the same bench", "missing")
	}
	if !(e.Speed == 0 || e.Speed >= 0.1 && e.Speed <= 100) {
		c.bad("speed", "2 makes the time run twice as fast", "must be 0.1 to 100, not %g", e.Speed)
	}
	if e.Find && len(e.Faults) == 0 {
		c.bad("find", "add a [[fault]] with a name", "there is no [[fault]] to be found")
	}
	if !e.Finishes() && !e.Find {
		c.bad("finish", "leave it out, or set find = true", "without the buffer and without a fault to find there is nothing to do")
	}
	c.bench()
	c.faults()
	c.plan()
	c.calibration()
}

// Keys of the items that only an exercise has in which an amount is looked for, and
// that every kind of exercise has.
var (
	amountKeys = []string{"answer", "spread", "sides"}
	bothKeys   = []string{"steps", "waiting", "time", "record", "faults", "untouched"}
)

// weights checks the points of the items.
func (c *checker) weights() {
	sum := 0.0
	for _, key := range slices.Sorted(maps.Keys(c.e.Weights)) {
		x := c.e.Weights[key]
		if _, ok := aspects[key]; !ok {
			c.bad("weights."+key, "the items are "+strings.Join(AspectKeys(), ", "), "no item is called %q", key)
		}
		if ofAmounts := slices.Contains(amountKeys, key); ofAmounts != c.e.Determines() && !slices.Contains(bothKeys, key) {
			c.bad("weights."+key, "an amount is judged by "+strings.Join(append(amountKeys, bothKeys...), ", "), "%q is not an item of an exercise for %s", key, map[bool]string{true: "an amount", false: "a pH"}[c.e.Determines()])
		}
		if !(x >= 0 && x <= 1000) {
			c.bad("weights."+key, "points of that item", "%g is impossible", x)
		}
		sum += x
	}
	if c.e.Weights != nil && !(sum > 0) {
		c.bad("weights", "such as aim = 30", "there are no points to be had")
	}
}

// bench checks the ranges of what is hidden.
func (c *checker) bench() {
	h := c.e.Bench
	for _, v := range []struct {
		key       string
		v         *float64
		low, high float64
		try       string
	}{
		{"tau_s", h.TauS, 0, 300, "3 to 10 s is a healthy electrode"}, {"mixing_s", h.MixingS, 0, 120, "1 to 3 s is usual"},
		{"slow_share", h.SlowShare, 0, 1, "0.1 is a tenth of the way"}, {"slow_tau_s", h.SlowTauS, 0, 1000, "some times tau_s"},
		{"noise", h.Noise, 0, 0.5, "0.004 pH is usual"}, {"offset", h.Offset, -2, 2, "pH, as at pH 7"},
		{"slope_pct", h.SlopePct, 50, 120, "100 is the theory"}, {"drop_pct", h.DropPct, 20, 400, "100 is as planned"},
		{"amount_pct", h.AmountPct, 10, 300, "100 is as planned"}, {"warm_c", h.WarmC, -20, 30, "°C above the bench at the start"},
		{"hung_share", h.HungShare, 0, 1, "0.1 is one addition in ten"}, {"bend_pct", h.BendPct, -30, 30, "how much larger the slope is above pH 7"},
	} {
		if v.v != nil && !(*v.v >= v.low && *v.v <= v.high) {
			c.bad("bench."+v.key, v.try, "%g is outside %g to %g", *v.v, v.low, v.high)
		}
	}
	if _, ok := electrodes[h.Electrode]; !ok {
		c.bad("bench.electrode", "ordinary, laboratory, student, old, pickup", "no electrode is called %q", h.Electrode)
	}
	if _, err := sim.Recorded(h.Recorded); h.Recorded != "" && err != nil {
		c.bad("bench.recorded", strings.Join(sim.RecordedNames(), ", "), "no recorded electrode is called %q", h.Recorded)
	}
	for i, x := range h.Contents {
		if _, err := table.ByAmount(x.Reagent); err != nil {
			c.bad(fmt.Sprintf("bench.contents[%d].reagent", i+1), "as in [[plan.weighed]]", "%v", err)
		}
		if !(x.MMol > 0 && x.MMol < 1e5) {
			c.bad(fmt.Sprintf("bench.contents[%d].mmol", i+1), "an amount above zero", "%g is impossible", x.MMol)
		}
	}
	if len(c.e.Plan.Weighed) == 0 && len(h.Contents) == 0 && len(c.e.Plan.Titrants) > 0 {
		c.bad("bench.contents", "add [[bench.contents]] with reagent and mmol", "the plan weighs nothing, so the bench has to say what is in the beaker")
	}
	if h.Decimals != nil && (*h.Decimals < 1 || *h.Decimals > 3) {
		c.bad("bench.decimals", "2 is usual", "must be 1 to 3, not %d", *h.Decimals)
	}
	for _, p := range h.StrengthPct {
		if !(p >= 1 && p <= 1000) {
			c.bad("bench.strength_pct", "100 is as on the label, in the order of the titrants", "%g is outside 1 to 1000", p)
		}
	}
}

func (c *checker) faults() {
	for i, f := range c.e.Faults {
		key := fmt.Sprintf("fault[%d]", i+1)
		if _, err := sim.FaultOf(f.Name); err != nil {
			c.bad(key+".name", "halfdrop practice --faults lists the names", "no fault is called %q", f.Name)
		}
		if !(f.Strength >= 0 && f.Strength <= 10) {
			c.bad(key+".strength", "1 is the usual case", "%g is outside 0 to 10", f.Strength)
		}
		if !(f.OnsetS >= 0) || math.IsInf(f.OnsetS, 0) {
			c.bad(key+".onset_s", "seconds from the start of the run", "must be a time of 0 s or more, not %g", f.OnsetS)
		}
	}
}

// plan has the plan compiled and the bench put together.
func (c *checker) plan() {
	e := c.e
	var odd intake.Faults
	if errors.As(intake.Plan(e.Plan), &odd) {
		for _, f := range odd {
			c.bad("plan."+f.Key, f.Try, "%s", f.What)
		}
		return
	}
	_, err := recipe.Compile(e.Plan)
	var bad recipe.Problems
	if errors.As(err, &bad) {
		for _, b := range bad {
			c.bad("plan."+b.Field, b.Hint, "%s", b.What)
		}
		return
	}
	for i, g := range e.Given {
		if !(g.Drops > 0 && g.Drops <= 10000) {
			c.bad(fmt.Sprintf("given[%d].drops", i+1), "a count of drops", "must be a number above zero, not %g", g.Drops)
			return
		}
		if !(g.Fell >= 0 && g.Fell <= 10000) {
			c.bad(fmt.Sprintf("given[%d].fell", i+1), "what really fell, in drops", "%g is impossible", g.Fell)
			return
		}
	}
	if len(c.errs) > 0 {
		return
	}
	if _, _, err := e.NewBench(e.Seed); err != nil {
		c.bad("plan", "plan, [[given]] and [[fault]] have to fit each other", "%s", strings.TrimPrefix(err.Error(), "practice: "+e.Name+": "))
	}
}

func (c *checker) calibration() {
	if c.e.Calibrate == nil {
		return
	}
	const try = `such as [["7.00", "4.01"], ["7.00", "10.01"]]`
	if len(c.e.Calibrate.Choices) == 0 || len(c.e.Calibrate.Choices) > 9 {
		c.bad("calibrate.choices", try, "give one to nine lists of standards")
	}
	for _, list := range c.e.Calibrate.Choices {
		if len(list) < 2 || len(list) > 5 {
			c.bad("calibrate.choices", try, "give two to five standards in each choice")
		}
		for _, name := range list {
			if _, err := standards.Find(name, standards.Technical); err != nil {
				c.bad("calibrate.choices", try, "%v", err)
			}
		}
	}
}
