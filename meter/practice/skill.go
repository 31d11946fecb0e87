package practice

import (
	"maps"
	"slices"
)

// Steps is how many steps the course has, from "which way" over "alone" to "how much
// there is".
const Steps = 7

// stepNames say what the steps are about.
var stepNames = [Steps]string{"which way", "which bottle, how much", "waiting", "curves and the way back", "finding faults", "alone", "how much there is"}

// StepName says what a step is about; level counts from 1.
func StepName(level int) string {
	if level < 1 || level > Steps {
		return ""
	}
	return stepNames[level-1]
}

// Skill is something that can be learned, and is scored.
type Skill string

// The skills.
const (
	Reading     Skill = "reading the curve"
	Bottle      Skill = "choosing the bottle"
	Waiting     Skill = "waiting"
	WayBack     Skill = "the way back"
	Calibrating Skill = "calibration"
	Finding     Skill = "finding faults"
	Recording   Skill = "the record"
	Determining Skill = "determining an amount"
)

// Skills are all skills, in the order of tables.
var Skills = []Skill{Reading, Bottle, Waiting, WayBack, Calibrating, Finding, Recording, Determining}

// Short is a word for the head of a column.
func (s Skill) Short() string {
	return map[Skill]string{Reading: "curve", Bottle: "bottle", Waiting: "waiting", WayBack: "back", Calibrating: "calib", Finding: "faults", Recording: "record", Determining: "amount"}[s]
}

// Aspect is an item of the score: its words, and the skill that it shows.
type Aspect struct {
	Name  string
	Skill Skill
}

// aspects are the items of the score by their keys in [weights].
var aspects = map[string]Aspect{
	"aim":         {"in tolerance", Reading},
	"overshoot":   {"no overshoot", Reading},
	"steps":       {"few additions", Reading},
	"bottle":      {"the right bottle", Bottle},
	"salt":        {"little salt, room left", Bottle},
	"waiting":     {"waited for settling", Waiting},
	"time":        {"in good time", Waiting},
	"back":        {"the way back", WayBack},
	"calibration": {"calibrated for the aim", Calibrating},
	"faults":      {"what was wrong", Finding},
	"untouched":   {LookedFirst, Finding},
	"record":      {"the record", Recording},
	"answer":      {"the answer", Determining},
	"spread":      {"known well enough", Determining},
	"sides":       {"read on both sides", Reading},
}

// AspectOf is the item of a key; empty where there is none.
func AspectOf(key string) Aspect { return aspects[key] }

// AspectKeys are the keys of all items, in the order of letters.
func AspectKeys() []string { return slices.Sorted(maps.Keys(aspects)) }

// LookedFirst is the item of an exercise in which nothing is to be added.
const LookedFirst = "looked before adding"

// Points are the weights of the exercise, 100 together. Those of the kind of
// exercise are a choice of this project: getting there without an overshoot is
// half of it.
func (e *Exercise) Points() map[string]float64 {
	p := e.Weights
	switch {
	case len(p) > 0:
	case e.Determines():
		p = map[string]float64{"answer": 40, "spread": 20, "sides": 10, "steps": 10, "waiting": 10, "time": 5, "record": 5}
	case !e.Finishes():
		p = map[string]float64{"faults": 60, "untouched": 40}
	case e.Find:
		p = map[string]float64{"faults": 55, "aim": 15, "overshoot": 10, "waiting": 10, "record": 10}
	case e.Calibrate != nil:
		p = map[string]float64{"calibration": 45, "aim": 20, "overshoot": 15, "waiting": 10, "record": 10}
	default:
		p = map[string]float64{"aim": 25, "overshoot": 20, "steps": 15, "bottle": 10, "salt": 5, "waiting": 10, "time": 5, "record": 10}
	}
	sum := 0.0
	for _, k := range AspectKeys() { // in order, so that a sum is the same in every run
		sum += p[k]
	}
	out := map[string]float64{}
	for k, x := range p {
		if x > 0 {
			out[k] = 100 * x / sum
		}
	}
	return out
}

// Weighs is the share of the points of an exercise that speak of a skill.
func (e *Exercise) Weighs(s Skill) float64 {
	sum := 0.0
	points := e.Points()
	for _, k := range AspectKeys() {
		if aspects[k].Skill == s {
			sum += points[k]
		}
	}
	return sum / 100
}
