package run

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/settle"
	"example.org/halfdrop/meter/spot"
)

// staleAfter is how old the last reading may be, s, to advise on it.
const staleAfter = 3.0

// vague is the spread of a reading, pH, from which on the coach is not asked.
const vague = 0.2

// View is the state as a front end shows it.
type View struct {
	T       float64 // s since the start, now
	Version int     // changes when anything but the present reading has changed

	Name      string
	Target    float64 // pH in use
	Tolerance float64
	UseTemp   chem.Celsius
	BenchTemp chem.Celsius // measured when the meter sends it, else as planned
	Measured  bool         // BenchTemp was measured

	Advice   coach.Advice
	Titrant  string // of Advice, when it is about an addition
	Titrants []string
	PerLitre []float64 // labelled charge of a litre of each titrant, mol; acid below zero

	HasReading bool
	PH         float64 // the last reading as the meter shows it
	Decimals   int
	Age        float64 // s since it came
	Raw        string
	Settling   settle.Estimate
	Link       string // state of the line, in a word; empty when the source has no line
	LinkNote   string
	Refused    int // readings and lines that were not used
	Refusal    string
	Poor       string  // what is wrong with a line from which readings come
	Unread     bool    // lines come, and none of them is a reading; LinkNote says why
	Unused     string  // the latest line that was not used and why, for a while after it came
	Note       string  // what else the person should know of the readings
	Level      float64 // pH that the reading has left by itself, for coach.Moved, or is leaving
	Leaving    bool    // the reading begins to move with nothing on record

	Volume  chem.Volume // in the beaker now, by the labels
	Start   chem.Volume
	Final   chem.Volume
	Entries []Entry
	Points  []Point // settled readings, the present one last
	Charge  float64 // labelled charge added, mol
	Aimed   float64 // labelled charge at which the plan expects the aim

	Curve []coach.CurvePoint // as believed, from the start to well past the aim

	Notice  string // what came of the last thing the person asked for
	Failed  bool   // Notice is an error
	Noticed int    // counts notices, so that a repeated one shows as new

	Cautions []string       // what is to be said of the calibration
	Spotted  []spot.Finding // what the readings say is wrong at the bench
	Silent   string         // not empty when the coach keeps silent: what is said instead

	Outcome string // not empty when the run was closed
	Alarm   string // what else is wrong, such as a journal that cannot be written
}

// Look computes the view at time now, s since the start of the run.
func (s State) Look(now float64) View {
	v := View{
		T: now, Version: s.version, Name: s.Setup.Plan.Name,
		Target: s.Setup.Target, Tolerance: s.Setup.Tolerance, UseTemp: s.Setup.UseTemp,
		BenchTemp: s.benchTemp, Start: s.Setup.Start, Final: s.Setup.Final, Volume: s.Setup.Start,
		Entries: s.entries, Link: s.link.State, LinkNote: s.link.Note,
		Refused: s.refused + s.badLines, Refusal: s.refusal,
	}
	if !math.IsNaN(s.last.temp) {
		v.BenchTemp, v.Measured = chem.Celsius(s.last.temp), !s.lostTemp()
	}
	if v.Unread = s.link.Poor && s.link.State == "quiet"; s.link.Poor && !v.Unread {
		v.Poor = s.link.Note
	}
	if s.lostTemp() {
		v.Note = fmt.Sprintf("the meter sends no temperature any more; %.1f °C is kept", s.last.temp)
	}
	if s.bad.why != "" && now-s.bad.t < unusedFor {
		v.Unused = s.bad.words()
	}
	switch {
	case s.moved != nil:
		v.Level = s.moved.from
	case s.leaving():
		v.Level, v.Leaving = s.watch.level, true
	}
	for j, st := range s.Setup.Stocks {
		v.Titrants = append(v.Titrants, st.Name)
		v.PerLitre = append(v.PerLitre, s.bench.LabelledCharge(coach.Addition{Stock: j, Volume: chem.Litre}))
	}
	if s.ended != nil {
		v.Outcome = s.ended.Outcome
	}
	s.lookAtReading(&v, now)
	s.lookAtBeaker(&v)
	v.Cautions = s.cautions(v.Advice.Aim, v.Settling.End, v.Advice.Do == coach.Stop)
	if v.Advice.Do == coach.Add {
		v.Titrant = v.Titrants[v.Advice.Stock]
	}
	return v
}

func (s *State) lookAtReading(v *View, now float64) {
	v.Settling = s.learned.Estimate(s.window, now)
	v.Advice = s.advise(v.Settling, now)
	v.Spotted = s.spotted(v.Settling, now, v.Advice)
	v.Advice = forbid(v.Advice, v.Spotted)
	if _, bad := unsound(v.Spotted); v.Note == "" && !bad && len(v.Spotted) > 0 {
		v.Note = v.Spotted[0].Words()
	}
	if !s.last.any {
		return
	}
	v.HasReading, v.PH, v.Decimals = true, s.last.ph, s.last.decimals
	v.Age, v.Raw = now-s.last.t, s.last.raw
}

// ask asks the coach, unless there is nothing sound to ask about.
func (s *State) ask(est settle.Estimate, now float64) coach.Advice {
	idle := coach.Advice{Do: coach.Wait, Aim: s.bench.Forecast().Aim, Tolerance: s.Setup.Tolerance}
	switch {
	case s.link.State == "lost" || s.link.State == "quiet":
		idle.Reason = coach.Faulty
	case !s.last.any:
		idle.Reason = coach.NoReading
	case s.refusal != "" || s.badRun >= holds:
		idle.Reason = coach.Faulty
	case now-s.last.t > staleAfter:
		idle.Reason = coach.Stale
	case est.State == settle.Empty || est.State == settle.Noisy || est.SD >= vague:
		idle.Reason = coach.Settling
	default:
		return s.bench.Advise(s.request(est))
	}
	return idle
}

// advise asks the coach, unless the reading behaves as no sound one does.
func (s *State) advise(est settle.Estimate, now float64) coach.Advice {
	a := s.ask(est, now)
	odd := a
	odd.Do = coach.Check
	switch {
	case a.Reason == coach.Stale || a.Reason == coach.Faulty || a.Reason == coach.NoReading:
		return a
	case s.unexplained():
		odd.Reason = coach.Moved
	case s.stopped() || a.Do != coach.Check && s.unmoved():
		odd.Reason = coach.Stuck // else the coach says what went missing
	case s.halted() || s.leaving():
		odd.Do, odd.Reason = coach.Wait, coach.Settling
	default:
		return a
	}
	return odd
}

func (s *State) lookAtBeaker(v *View) {
	hist := s.history()
	charge := 0.0
	at := []float64{0}
	for _, a := range hist.Additions {
		v.Volume += a.Volume
		charge += s.bench.LabelledCharge(a)
		at = append(at, charge)
	}
	v.Charge = charge
	for _, o := range s.observed {
		v.Points = append(v.Points, Point{After: o.After, Charge: at[min(o.After, len(at)-1)], PH: o.PH, SD: o.SD})
	}
	if v.HasReading && v.Settling.State != settle.Empty {
		v.Points = append(v.Points, Point{After: len(hist.Additions), Charge: charge, PH: v.Settling.End, SD: v.Settling.SD})
	}
	f := s.bench.Forecast()
	for j, need := range f.Need {
		if !math.IsNaN(need) {
			v.Aimed = s.bench.LabelledCharge(coach.Addition{Stock: j, Volume: chem.Volume(need)})
			break
		}
	}
}

// Curve is the titration curve as believed now, over the given range of
// labelled charge, in n points.
func (s State) Curve(from, to float64, n int) []coach.CurvePoint {
	return s.bench.Curve(s.history(), from, to, n)
}

// Forecast is what the plan alone predicts at the present temperature.
func (s State) Forecast() coach.Forecast { return s.bench.Forecast() }
