package replay

import (
	"math"
	"time"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run"
)

// Review is a run as one sees it afterwards.
type Review struct {
	Name      string      `json:"name"`
	Operator  string      `json:"operator,omitempty"`
	Source    string      `json:"source,omitempty"`
	Practised bool        `json:"-"` // an exercise was played
	Program   string      `json:"program"`
	Begun     time.Time   `json:"begun"`
	Seconds   float64     `json:"seconds"`
	Events    int         `json:"events"`
	Target    float64     `json:"target"`
	Tolerance float64     `json:"tolerance"`
	UseTempC  float64     `json:"use_temp_c"`
	Unweighed bool        `json:"unweighed,omitempty"` // nobody knows what is in the beaker: the target is for it as it is
	Aim       float64     `json:"aim"`                 // pH the meter had to show at the end
	Final     Standing    `json:"final"`
	Read      *Reading    `json:"read"`                     // at rest in the end; null when the meter was not
	RestsOn   string      `json:"rests_on,omitempty"`       // calibration, in a few words
	Spread    float64     `json:"calibration_sd,omitempty"` // pH, of the final reading by the calibration; 0 when unknown
	InAim     bool        `json:"in_tolerance"`             // it was read at rest within the tolerance
	Outcome   string      `json:"outcome,omitempty"`
	Ended     bool        `json:"ended"`
	Lost      string      `json:"lost,omitempty"` // what is wrong with the file, and what of it is not shown
	Steps     []Step      `json:"additions"`
	Over      []Overshoot `json:"overshoots"`
	Gaps      []GapMark   `json:"gaps,omitempty"`
	Checks    []Mark      `json:"checks,omitempty"` // of the electrode in standards
	Remarks   []Mark      `json:"remarks,omitempty"`
	Spotted   []Mark      `json:"spotted,omitempty"` // what the readings said was wrong, when it could first be told
}

// Standing is where a composition stood when it was left.
type Standing struct {
	T       float64 `json:"t"`
	Shown   float64 `json:"shown"`   // pH on the meter
	PH      float64 `json:"ph"`      // pH it was settling to, as known afterwards
	SD      float64 `json:"sd"`      // its spread
	Settled bool    `json:"settled"` // waiting would not have made it better
	TempC   float64 `json:"temp_c"`
	Aim     float64 `json:"aim"` // pH the meter had to show
}

// Reading is a value that was read at rest.
type Reading struct {
	PH float64 `json:"ph"`
	SD float64 `json:"sd"`
	T  float64 `json:"t"`
}

// Step is an addition as it was made, and what was advised at that moment.
type Step struct {
	N        int            `json:"n"` // 1, 2, 3 … as entered
	Seq      int64          `json:"seq"`
	T        float64        `json:"t"`
	Titrant  string         `json:"titrant"` // what counts, after all corrections
	Drops    float64        `json:"drops,omitempty"`
	ML       float64        `json:"ml"`
	Entered  string         `json:"entered,omitempty"` // what was keyed first, when it was changed
	Reason   string         `json:"reason,omitempty"`  // of the change
	Undone   bool           `json:"withdrawn,omitempty"`
	Before   Standing       `json:"before"`
	After    Standing       `json:"after"`
	Advised  journal.Advice `json:"advised"`               // recorded, else computed anew
	Recorded bool           `json:"advice_was_recorded"`   // the journal holds the advice
	Response float64        `json:"response,omitempty"`    // charge that the readings speak for, over that of the label
	Within   float64        `json:"response_sd,omitempty"` // spread of it, by the readings before and after alone; 0 where one of them was not read
	ByLabel  float64        `json:"ph_by_label,omitempty"` // pH to which plan and label take it from where it stood; 0 when nothing is predicted
}

// GapMark is a time without the program.
type GapMark struct {
	T       float64 `json:"t"`
	Seconds float64 `json:"seconds"`
}

// Mark is words at a time.
type Mark struct {
	T    float64 `json:"t"`
	Text string  `json:"text"`
}

// Review explains the run.
func (r *Run) Review() Review {
	s := r.end.Setup
	v := r.end.Look(r.end.T)
	out := Review{
		Name: s.Plan.Name, Operator: r.First.Start.Operator, Source: r.First.Start.Source, Practised: r.First.Start.Practice != nil, Program: r.First.Start.Program,
		Begun: r.First.At, Seconds: r.Lasted(), Events: len(r.items) + 1,
		Target: s.Target, Tolerance: s.Tolerance, UseTempC: float64(s.UseTemp), Unweighed: s.Unweighed(), Aim: v.Advice.Aim,
		Outcome: v.Outcome, Ended: v.Outcome != "", Steps: []Step{}, Over: []Overshoot{},
	}
	out.Lost = r.Flaw()
	for _, e := range r.others {
		switch e.Kind {
		case journal.Gap:
			out.Gaps = append(out.Gaps, GapMark{e.T, e.Gap.Seconds})
		case journal.Checked:
			if v, err := calib.ReadVerification(e.Checked); err == nil {
				out.Checks = append(out.Checks, Mark{e.T, v.Summary()})
			}
		case journal.Remarked:
			out.Remarks = append(out.Remarks, Mark{e.T, e.Remark.Text})
		}
	}
	out.Spotted = r.spotted
	if out.RestsOn = v.Calibration; !math.IsNaN(v.Spread) {
		out.Spread = v.Spread
	}
	p := r.path()
	out.Steps = p.steps(r)
	out.Over = p.overshoots(r, out.Steps)
	if n := len(p.stops); n > 0 {
		out.Final = p.stops[n-1].Standing
		out.Aim = out.Final.Aim
	}
	if v := r.end.AtLast(); v.AtRest {
		out.Read = &Reading{PH: v.Read.PH, SD: v.Read.SD, T: v.Read.T}
		out.InAim = math.Abs(out.Read.PH-v.Advice.Aim) <= s.Tolerance
	}
	return out
}

// tolerated is how far past the tolerance a settled reading may be before it
// counts, pH: half of the last digit that most meters show.
const tolerated = 0.005

// within is how far from its aim a stop may be, pH.
func (s *stop) within() float64 { return s.state.Setup.Tolerance + tolerated }

// steps are the additions with what was advised at each.
func (p *path) steps(r *Run) []Step {
	out := []Step{}
	doses := journal.Doses(r.Others)
	for i, d := range doses {
		at := int(d.Seq) - 2
		s := Step{N: i + 1, Seq: d.Seq, T: d.T, Titrant: d.Given.Titrant, Drops: d.Given.Drops, ML: d.Given.ML,
			Undone: d.Withdrawn, Reason: d.Reason}
		if d.Withdrawn {
			s.Drops, s.ML = d.Entered.Drops, d.Entered.ML
		}
		if d.Corrected {
			s.Entered = amountOf(d.Entered)
		}
		s.Advised, s.Recorded = r.advisedAt(at)
		if k, ok := p.before[d.Seq]; ok {
			s.Before, s.After = p.stops[k].Standing, p.stops[k+1].Standing
			s.Response, s.Within, s.ByLabel = p.did(k + 1)
		}
		out = append(out, s)
	}
	return out
}

// did is what the addition that ends in stop i brought: the charge over that of the label,
// its spread, and the pH to which plan and label take it from the stop before. A beaker
// that nobody weighed has no curve to compare with.
func (p *path) did(i int) (response, within, byLabel float64) {
	a, b := &p.stops[i-1], &p.stops[i]
	if b.state.Bench().Unweighed || b.response == 0 {
		return b.response, 0, 0
	}
	if a.known && b.known {
		within = math.Hypot(a.spread(), b.spread()) / math.Abs(b.charge)
	}
	if ph, ok := settled(b.state.Bench(), b.comp, a.extra); ok {
		byLabel = ph
	}
	return b.response, within, byLabel
}

// Expected is the pH at which the addition was expected, with its limits: as the coach had
// said, where what it had ordered was given (ordered), else by plan and label from where it
// stood, without limits. It is 0 where nothing was expected.
func (s *Step) Expected() (ph, low, high float64, ordered bool) {
	a := s.Advised
	if a.Do == "add" && a.Titrant == s.Titrant && math.Abs(a.ML-s.ML) <= 0.001*s.ML && a.PHAfter != 0 {
		return a.PHAfter, a.PHLow, a.PHHigh, true
	}
	return s.ByLabel, 0, 0, false
}

func amountOf(a journal.Addition) string {
	if a.Drops > 0 {
		return phrase.Number(a.Drops) + " drops of " + a.Titrant
	}
	return phrase.Number(a.ML) + " mL of " + a.Titrant
}

// advisedAt is the advice that stood on the screen before event i: the last
// one recorded since the composition changed, else what is computed now.
func (r *Run) advisedAt(i int) (journal.Advice, bool) {
	for k := i - 1; k >= 0; k-- {
		it := &r.items[k]
		if it.other < 0 {
			continue
		}
		e := &r.others[it.other]
		if e.Kind == journal.Advised && e.Advice.Reason != coach.Unsaid.String() { // that asks about what was advised
			a := *e.Advice
			if a.Reason == coach.Mistaken.String() {
				a.Named = r.names(k)
			}
			return a, true
		}
		if Additions(*e) || e.Kind == journal.Gap {
			break
		}
	}
	s := r.At(i)
	return s.Look(s.T).Record(), false
}

// standing is how the run stood, in the view of its state alone.
func standing(s run.State, t float64) (Standing, probe.Estimate, coach.Advice) {
	v := s.Look(t)
	st := Standing{T: t, Shown: v.PH, PH: v.Settling.End, SD: v.Settling.SD,
		Settled: v.Settling.State == probe.Settled, TempC: float64(v.BenchTemp), Aim: v.Advice.Aim}
	if !v.HasReading {
		st.Shown, st.PH, st.SD = math.NaN(), math.NaN(), math.Inf(1)
	}
	return st, v.Settling, v.Advice
}
