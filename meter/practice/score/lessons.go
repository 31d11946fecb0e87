package score

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/sim"
)

// What naming a fault is worth, a choice of this project: the evidence is the
// lesson, and the name alone may be a guess.
const (
	forName  = 0.2  // of a fault, for the right name without evidence
	perWrong = 0.25 // of all faults, for each wrong name
)

// faults judges what was named and what it was seen by. Each counts alike.
func (j *judge) faults() error {
	wrong, got := 0, 0.0
	m := mark{t: math.NaN()}
	var said []string
	seen := map[string]bool{}
	for _, n := range j.c.Names {
		if !n.Right {
			wrong++
			said = append(said, fmt.Sprintf("at %s %q was named, which it is not", phrase.Clock(n.T), titleOf(n.Name)))
			continue
		}
		if seen[n.Name] {
			continue
		}
		seen[n.Name] = true
		w, err := j.e.Witness(j.run, j.slip, n)
		if err != nil {
			return err
		}
		ok, what := w.Shows(n)
		got += forName
		if ok {
			got += 1 - forName
		} else if m.keep == "" {
			m.t, m.keep = n.T, j.seenAt(n.Name, w)
		}
		said = append(said, fmt.Sprintf("at %s %s, by %s: %s", phrase.Clock(n.T), titleOf(n.Name), pointed(n), what))
	}
	for _, f := range j.e.Faults {
		if seen[f.Name] {
			continue
		}
		w, err := j.e.Witness(j.run, j.slip, practice.Named{T: j.res.Seconds, Name: f.Name, At: math.NaN()})
		if err != nil {
			return err
		}
		said = append(said, "not named: "+titleOf(f.Name))
		m.t, m.keep = math.Min(f.OnsetS, j.res.Seconds), j.seenAt(f.Name, w)
		if t, ok := w.First(); ok {
			m.t = t
		}
	}
	j.shown = got / float64(len(j.e.Faults))
	m.share = j.shown - perWrong*float64(wrong)
	if m.keep == "" && wrong > 0 {
		m.keep = "finding what shows it before naming it"
	}
	if len(j.c.Asks) > 0 && j.slip.Coach != practice.Off {
		m.share, m.keep = m.share*(1-asking), keepAsking
		said = append(said, "the coach was asked")
	}
	if math.IsNaN(m.t) {
		m.t = 0
		if len(j.c.Names) > 0 {
			m.t = j.c.Names[0].T
		}
	}
	m.why = strings.Join(said, "; ")
	j.add("faults", m)
	return nil
}

// seenAt says when and by what a fault could be seen.
func (j *judge) seenAt(fault string, w *practice.Witness) string {
	k, err := sim.FaultOf(fault)
	if err != nil {
		return "pointing at what shows it"
	}
	if t, ok := w.First(); ok {
		return fmt.Sprintf("pointing at what shows it, from %s on: %s", phrase.Clock(t), k.Sign)
	}
	return "an addition, and a look at what it did: " + k.Sign
}

func pointed(n practice.Named) string {
	if math.IsNaN(n.At) {
		return "no evidence"
	}
	return "the " + map[bool]string{true: "addition", false: "reading"}[n.Dose] + " at " + phrase.Clock(n.At) + n.WaySaid()
}

// keepShowing keeps what counts only for who knows why.
const keepShowing = "naming what is wrong, with what shows it"

// untouched judges a beaker that should have been left alone, by somebody who knows why.
func (j *judge) untouched() mark {
	if n := len(j.c.Stops); n > 0 {
		return mark{1 - perOvershoot*float64(n), phrase.Counted(n, "addition") + " into a beaker that cannot be finished", j.c.Stops[0].T, "a look at the first reading before the first drop"}
	}
	if len(j.c.Names) == 0 {
		return mark{0, "no fault was named", 0, keepShowing}
	}
	if j.shown < 1 {
		return mark{j.shown, "nothing was added, which counts as far as it was shown why", 0, keepShowing}
	}
	return mark{1, "nothing was added", 0, ""}
}

// calibrated is the calibration of the run, nil without one.
func (j *judge) calibrated() *calib.Calibration {
	var cal *calib.Calibration
	for e := range j.run.Others {
		if e.Kind == journal.Calibrated && string(e.Calibration) != "null" {
			c := calib.Calibration{}
			if json.Unmarshal(e.Calibration, &c) == nil {
				cal = &c
			}
		}
	}
	return cal
}

// calibration judges by how much the meter is off at the end, where the aim is.
func (j *judge) calibration() mark {
	cal := j.calibrated()
	if cal == nil || j.worth["calibration"] == 0 {
		return mark{0, "the electrode was not calibrated", 0, "a calibration with standards on both sides of the aim"}
	}
	use := calib.Use{At: cal.At, Target: j.view.Aim, Present: j.view.Final.PH, TempC: j.view.Final.TempC, Final: true}
	why := ""
	for _, f := range cal.For(use) {
		if f.Level == calib.Remark || f.Level == calib.Stop {
			why = f.Text + "; "
			break
		}
	}
	off := j.view.Final.PH - j.c.Now
	share, tol := 1.0, j.res.Tolerance
	if why != "" {
		share = 0.5
	}
	share *= 1 - (math.Abs(off)-tol/2)/(1.5*tol)
	if math.IsNaN(share) || math.IsInf(share, 0) {
		share = 0
	}
	return mark{share, fmt.Sprintf("%sat the end the meter showed %.2f where %.2f was: %.2f off", why, j.view.Final.PH, j.c.Now, math.Abs(off)), 0,
		"standards on both sides of the aim: between them a line is good, beyond them its error grows"}
}

// back judges the way back from an overshoot: in one good step and from one side.
func (j *judge) back() mark {
	if len(j.c.Stops) == 0 {
		return nothing
	}
	if m, open := j.unfinished(); open {
		return m
	}
	over := len(j.own())
	share := j.wasted() / j.buffer()
	m := mark{share: (1 - perOvershoot*float64(over) - math.Max(0, share-littleSalt)/muchSalt) * j.unasked(), why: "back without crossing the aim", t: j.turn()}
	if over > 0 {
		m.why, m.t, m.keep = "across the aim "+phrase.Times(over), j.own()[0].T, "stopping short of the aim with the first step back, and small ones from there"
	} else if share > littleSalt {
		m.why, m.keep = fmt.Sprintf("with %.0f %% of the buffer as salt from going back and forth", 100*share), "coming back from one side"
	} else if j.res.Asked > 0 {
		m.why, m.t, m.keep = m.why+j.askedWords(), j.firstAsk(), keepAsking
	}
	return m
}

// record judges the record: does it say what is in the beaker, and was it closed
// on a reading at rest?
func (j *judge) record() mark {
	if len(j.c.Stops) == 0 {
		return nothing
	}
	said, fell, at := 0.0, 0.0, 0.0
	for _, seq := range slices.Sorted(maps.Keys(j.c.Doses)) { // of several that were lost the last is named
		a := j.c.Doses[seq]
		said += j.charge(a.Titrant, a.ML)
		ml := a.ML
		if _, given := j.c.Fell[seq]; given {
			continue
		}
		if j.c.Lost[seq] {
			ml = 0
			_, at = j.first(seq)
		}
		fell += j.charge(a.Titrant, ml)
	}
	for _, seq := range slices.Sorted(maps.Keys(j.c.Fell)) { // before the person came
		first, _ := j.first(seq)
		fell += j.charge(first.Titrant, first.ML*j.c.Fell[seq]/math.Max(first.Drops, 1e-9))
	}
	if math.Abs(said-fell) > logged*math.Max(math.Abs(fell), 1e-9) {
		return mark{0, fmt.Sprintf("the log says %.3g mmol, and %.3g mmol fell into the beaker", 1e3*math.Abs(said), 1e3*math.Abs(fell)), at,
			"correcting the log where reading and log do not fit: u withdraws, 12e corrects"}
	}
	switch {
	case !j.view.Ended:
		return mark{0.3, "right, but the run was not closed", j.res.Seconds, "closing the run with q when it is done"}
	case j.view.Read == nil && !j.done() && !(j.c.Ahead <= j.res.Tolerance/2):
		return mark{0.5, "right, but the run was closed on a moving reading", j.res.Seconds, "closing the run on a reading at rest"}
	case !j.arrived() && j.res.Sought == nil && j.view.Read == nil:
		return mark{0.6, "right, and closed with the electrode at rest, but not at the aim", j.res.Seconds, KeepFinishing}
	case !j.arrived() && j.res.Sought == nil:
		return mark{0.6, "right, but closed on a reading at rest that is not at the aim", j.res.Seconds, KeepFinishing}
	}
	return mark{1, "the log is what fell, closed on a reading at rest", 0, ""}
}

// first is an addition as it was keyed.
func (j *judge) first(seq int64) (journal.Addition, float64) {
	for ev := range j.run.Others {
		if ev.Seq == seq && ev.Added != nil {
			return *ev.Added, ev.T
		}
	}
	return journal.Addition{}, 0
}
