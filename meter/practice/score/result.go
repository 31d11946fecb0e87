package score

import (
	"math"
	"slices"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
)

// Result is what became of an exercise, with its reasons.
type Result struct {
	Exercise string            `json:"exercise"`
	Number   int               `json:"number,omitempty"`
	Level    int               `json:"level"`
	Title    string            `json:"title"`
	Digest   string            `json:"digest"`
	Seed     uint64            `json:"seed"`
	Coach    practice.Coaching `json:"coach"`
	Operator string            `json:"operator,omitempty"`
	Begun    time.Time         `json:"begun"`
	Seconds  float64           `json:"seconds"`
	Speed    float64           `json:"speed"`
	Ended    bool              `json:"ended"`

	Final     float64       `json:"final"` // true pH in use
	Target    float64       `json:"target"`
	Tolerance float64       `json:"tolerance"`
	In        bool          `json:"in_tolerance"`
	Over      int           `json:"overshoots"`
	Additions int           `json:"additions"`
	Limit     practice.Peer `json:"limit"` // all known but the scatter of drops
	Coached   practice.Peer `json:"coached"`

	Items  []Item                   `json:"items"`
	Skills map[practice.Skill]Share `json:"skills"`
	Points float64                  `json:"points"` // of 100

	Story   []string     `json:"story"`  // what happened
	Moment  Moment       `json:"moment"` // what mattered
	Compare []Comparison `json:"compare"`
	Asked   int          `json:"asked"` // additions about which the coach was asked
	Named   []string     `json:"named,omitempty"`
	Learn   string       `json:"learn"`

	// Sought is what was looked for; nil where a pH was. Final, Target and Tolerance are
	// 0 then, and In says that the answer is right.
	Sought *Determination `json:"sought,omitempty"`

	passed []practice.Passage
}

// Share is what was got of what there was, points.
type Share struct {
	Got float64 `json:"got"`
	Of  float64 `json:"of"`
}

// Part is it as a share from 0 to 1; NaN of nothing.
func (s Share) Part() float64 { return s.Got / s.Of }

// Moment is the moment that mattered.
type Moment struct {
	T     float64 `json:"t"` // s of the run
	Words string  `json:"words"`
	Lost  bool    `json:"-"` // points were lost there
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
	slip, err := practice.SlipOf(r.First)
	if err != nil {
		return Result{}, err
	}
	e, err := slip.Open()
	if err != nil {
		return Result{}, err
	}
	c, err := e.Redo(r, slip)
	if err != nil {
		return Result{}, err
	}
	v := r.Review()
	res := Result{
		Exercise: e.Name, Number: e.Number, Level: e.Level, Title: e.Title, Speed: slip.Speed, Digest: slip.Digest, Seed: slip.Seed, Coach: slip.Coach, Operator: v.Operator,
		Begun: v.Begun, Seconds: v.Seconds, Ended: v.Ended, Final: c.Final, Target: v.Target, Tolerance: v.Tolerance,
		Learn: e.Learn,
	}
	if res.Limit, res.Coached, err = e.Peers(slip); err != nil {
		return res, err
	}
	j := judge{e: e, slip: slip, run: r, view: v, c: c, res: &res}
	if err := j.outcome(); err != nil {
		return res, err
	}
	res.Additions = len(j.steps())
	res.Asked = j.asked()
	res.Named = phrase.Each(c.Names, func(n practice.Named) string { return n.Name })
	if err := j.items(); err != nil {
		return res, err
	}
	j.total()
	j.compare()
	j.story()
	j.moment()
	return res, nil
}

// outcome is how the run came out: at a pH, or with an answer.
func (j *judge) outcome() error {
	res := j.res
	if !j.e.Determines() {
		res.In = math.Abs(res.Final-res.Target) <= res.Tolerance+practice.HalfDigit
		res.passed = j.c.Passages(chem.PH(res.Target), chem.PH(res.Tolerance+practice.HalfDigit))
		res.Over = len(res.passed)
		return nil
	}
	b, s, err := j.e.NewBench(j.slip.Seed)
	if err != nil {
		return err
	}
	res.Final, res.Target, res.Tolerance = 0, 0, 0
	if res.Sought, err = j.sought(b, s); err == nil {
		res.In = res.Sought.right()
	}
	return err
}

// total is the points of 100, and those of each skill.
func (j *judge) total() {
	got, of := 0.0, 0.0
	j.res.Skills = map[practice.Skill]Share{}
	for _, i := range j.res.Items {
		got, of = got+i.Got, of+i.Of
		s := j.res.Skills[i.Skill]
		j.res.Skills[i.Skill] = Share{s.Got + i.Got, s.Of + i.Of}
	}
	j.res.Points = math.Round(100 * got / of)
}

// asked is the additions about which the coach was asked; all of them when it
// said everything in an exercise in which it should not.
func (j *judge) asked() int {
	steps := j.steps()
	if j.slip.Coach == practice.Full && j.e.Coach != practice.Full {
		return len(steps)
	}
	n, from := 0, 0.0
	for _, s := range steps {
		if slices.ContainsFunc(j.c.Asks, func(t float64) bool { return t >= from && t <= s.T }) {
			n++
		}
		from = s.T
	}
	return n
}
