package run

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/settle"
	"example.org/halfdrop/meter/spot"
)

// Errors of events that do not fit the run.
var (
	ErrNoTitrant = errors.New("no such titrant in the plan")
	ErrAmount    = errors.New("an amount above zero is wanted")
	ErrNothing   = errors.New("there is no addition to withdraw")
	ErrEnded     = errors.New("the run has ended")
	ErrOrder     = errors.New("time runs backwards")
	ErrFirst     = errors.New("a run begins with its start event")
)

// Entry is one addition as keyed.
type Entry struct {
	Seq     int64
	T       float64 // s
	Stock   int
	Drops   float64 // 0 when measured in mL
	Volume  chem.Volume
	Undone  bool
	Changed bool    // restated by a correction
	Before  float64 // settled reading before it; NaN when there was none
	Advised bool    // as the coach had advised
}

// Point is a settled reading of one composition.
type Point struct {
	After  int     // additions in force when it was read
	Charge float64 // labelled charge added until then, mol
	PH     float64
	SD     float64
}

// State is everything that is known after some events. It is a value: Step
// returns a new one and shares only what neither will change.
type State struct {
	Setup *recipe.Setup
	Start journal.Start
	T     float64 // s, of the latest event
	Seq   int64   // of the latest event

	bench     *coach.Bench
	benchTemp chem.Celsius

	entries   []Entry
	observed  []coach.Observation // of earlier compositions, in terms of additions in force
	confirmed []string
	advice    *journal.Advice // the last one since the composition changed

	window   settle.Window
	kept     *settle.Window // the window before the last addition, for an undo
	learned  settle.Learned
	last     reading
	refused  int
	refusal  string
	badLines int
	badRun   int    // lines since the last reading that were none
	bad      unused // the latest line or reading that was not used
	link     journal.Link
	ended    *journal.End
	eye      spot.Eye   // for faults that show in the readings
	foretold [2]float64 // range of pH that the plan allows at the start; NaN when unknown
	remarks  []journal.Remark
	cal      *calib.Calibration // what mV become a pH with; nil when none is known
	calKnown bool               // the run has been told whether there is a calibration
	wall     time.Time          // of the latest event
	watch    watch
	moved    *moved // the reading has left its level by itself
	trusted  bool   // a person has looked at a reading that seemed wrong
	// version counts the events that change more than the present reading.
	version int
}

type reading struct {
	t        float64
	ph       float64
	decimals int
	temp     float64 // °C; NaN when never sent
	tempAt   float64 // s, when it was sent last
	raw      string
	any      bool
}

// Open is the state after the start event of a run.
func Open(e journal.Event) (State, error) {
	if e.Kind != journal.Started || e.Start == nil {
		return State{}, fmt.Errorf("run: %w", ErrFirst)
	}
	var p recipe.Plan
	if err := json.Unmarshal(e.Start.Plan, &p); err != nil {
		return State{}, fmt.Errorf("run: plan of the journal: %w", err)
	}
	if n := len(p.Titrants); n > intake.MaxTitrants {
		return State{}, fmt.Errorf("run: plan of the journal: %d titrants; the coach has room for %d", n, intake.MaxTitrants)
	}
	setup, err := recipe.Compile(p)
	if err != nil {
		return State{}, fmt.Errorf("run: plan of the journal: %w", err)
	}
	s := State{Setup: setup, Start: *e.Start, T: e.T, Seq: e.Seq, learned: settle.Fresh()}
	s.window = settle.Window{Since: e.T, From: math.NaN(), Expected: math.NaN()}
	s.last.temp = math.NaN()
	if err := s.at(setup.BenchTemp); err != nil {
		return State{}, err
	}
	s.eye = spot.Open(e.T)
	s.foretold[0], s.foretold[1] = foretell(s.bench)
	return s, nil
}

// at computes the bench anew for a temperature of the beaker.
func (s *State) at(t chem.Celsius) error {
	b, err := s.Setup.Bench(t)
	if err != nil {
		return fmt.Errorf("run: %w", err)
	}
	s.bench, s.benchTemp = b, t
	return nil
}

// Step folds an event into the state. An event that does not fit is an error
// and changes nothing.
func Step(s State, e journal.Event) (State, error) {
	if e.T < s.T {
		return s, fmt.Errorf("run: %w: %g s after %g s", ErrOrder, e.T, s.T)
	}
	next, err := s.apply(e)
	if err != nil {
		return s, fmt.Errorf("run: %w", err)
	}
	next.T, next.Seq, next.wall = e.T, e.Seq, e.At
	if e.Kind != journal.Read {
		next.version++
	}
	return next, nil
}

func (s State) apply(e journal.Event) (State, error) {
	switch e.Kind {
	case journal.Read:
		return s.read(e)
	case journal.Added:
		return s.added(e)
	case journal.Undone:
		return s.undone(e)
	case journal.Corrected:
		return s.correct(e)
	case journal.Confirmed:
		return s.confirm(), nil
	case journal.Advised:
		a := *e.Advice
		s.advice = &a
	case journal.LinkChange:
		s.link = *e.Link
	case journal.BadLine:
		s.badLine(e)
	case journal.Calibrated:
		return s.calibrate(e)
	case journal.Remarked:
		s.remarks = append(slices.Clip(s.remarks), *e.Remark)
	case journal.Ended:
		s.ended = e.End
	case journal.Gap:
		s.ended = nil
		s.eye = s.eye.Broken(e.T)
		s.window = settle.Window{Since: e.T, From: math.NaN(), Expected: math.NaN()}
		s.forget()
	case journal.Started:
		return s, errors.New("a second start event")
	}
	return s, nil
}

func (s State) read(e journal.Event) (State, error) {
	r := e.Reading
	if r.Refused != "" {
		s.refused++
		s.refusal, s.bad = r.Refused, unused{e.T, e.Raw, r.Refused}
		return s, nil
	}
	ph, ok := s.value(r)
	if !ok {
		return s, errors.New("a reading without a value")
	}
	s.last.t, s.last.ph, s.last.any = e.T, ph, true
	digits, resolution := s.fineness(r)
	s.last.decimals = digits
	s.last.raw, s.refusal, s.badRun = e.Raw, "", 0
	s.window.Resolution = resolution
	s.follow(e.T, ph)
	s.see(e.T, ph, r.TempC)
	if r.TempC != nil {
		s.last.tempAt = e.T
		return s.warm(*r.TempC)
	}
	return s, nil
}

// value is the pH of a reading at tempC; mV alone become pH by the theoretical
// slope (59.16 mV at 25 °C, 0.1984 mV per K: USP <791>) and a zero at pH 7.
func value(r *journal.Reading, tempC float64) (float64, bool) {
	if r.PH != nil {
		return *r.PH, true
	}
	if r.MV == nil {
		return 0, false
	}
	return 7 - *r.MV/(59.16+0.1984*(tempC-25)), true
}

// tempStep is the change of temperature, °C, from which the model is computed
// anew: 0.3 °C of Tris is 0.008 pH.
const tempStep = 0.3

// warm takes a temperature sent by the meter. One that cannot be that of a
// beaker on a bench is not used.
func (s State) warm(t float64) (State, error) {
	if !onBench(t) {
		return s, nil
	}
	if math.IsNaN(s.last.temp) {
		s.last.temp = t
	}
	s.last.temp += 0.2 * (t - s.last.temp)
	if math.Abs(s.last.temp-float64(s.benchTemp)) < tempStep {
		return s, nil
	}
	err := s.at(chem.Celsius(math.Round(s.last.temp*10) / 10))
	s.version++
	return s, err
}

// add closes the composition that was and begins the next.
func (s State) add(e journal.Event) (State, error) {
	if s.ended != nil {
		return s, ErrEnded
	}
	en, err := s.entry(*e.Added)
	if err != nil {
		return s, err
	}
	en.Seq, en.T, en.Before = e.Seq, e.T, math.NaN()
	expected, doubt, from := math.NaN(), 0.0, math.NaN()
	if est := s.learned.Estimate(s.window, e.T); est.State != settle.Empty {
		en.Before, from, doubt = est.End, est.Now, est.SD
		expected, _, _ = s.bench.Landing(s.request(est), coach.Addition{Stock: en.Stock, Volume: en.Volume, Drops: en.Drops})
		o := coach.Observation{After: s.inForce(), PH: est.End, SD: est.SD}
		s.observed = append(slices.Clip(s.observed), o)
	}
	en.Advised = s.advice != nil && s.advice.Do == coach.Add.String() &&
		s.advice.Titrant == e.Added.Titrant && s.advice.Drops == e.Added.Drops
	old := s.window
	carry := s.learned.Carry(old, e.T)
	s.kept = &old
	s.learned = s.learned.Learn(s.window)
	s.window = settle.Window{Since: e.T, From: from, Expected: expected, Doubt: doubt, Resolution: old.Resolution, Carry: carry}
	s.entries = append(slices.Clip(s.entries), en)
	s.eye = s.eye.Added(e.T, expected, en.Advised, s.bench.Forecast().Aim, s.Setup.Tolerance)
	s.advice = nil
	return s, nil
}

// entry checks an addition against the plan.
func (s *State) entry(a journal.Addition) (Entry, error) {
	j := slices.IndexFunc(s.Setup.Stocks, func(st recipe.Stock) bool { return st.Name == a.Titrant })
	if j < 0 {
		return Entry{}, fmt.Errorf("%w: %q", ErrNoTitrant, a.Titrant)
	}
	en := Entry{Stock: j, Drops: a.Drops, Volume: chem.Volume(a.ML) * chem.Millilitre}
	if a.Drops > 0 {
		en.Volume = chem.Volume(a.Drops) * s.Setup.Stocks[j].Drop
	}
	if !(en.Volume > 0) || en.Volume > 100*s.Setup.Final {
		return Entry{}, ErrAmount
	}
	return en, nil
}

// undo withdraws the addition that the event names.
func (s State) undo(e journal.Event) (State, error) {
	i := slices.IndexFunc(s.entries, func(en Entry) bool { return en.Seq == e.Undo.Seq && !en.Undone })
	if i < 0 {
		return s, ErrNothing
	}
	pos := s.position(i)
	latest := pos == s.inForce()-1
	s.entries = slices.Clone(s.entries)
	s.entries[i].Undone = true
	// The reading before it and the one after it were of one composition.
	var obs []coach.Observation
	for _, o := range s.observed {
		if o.After > pos {
			o.After--
		} else if o.After == pos && latest {
			continue
		}
		obs = append(obs, o)
	}
	s.observed = obs
	if latest {
		s.rejoin()
	}
	s.advice = nil
	return s, nil
}

// rejoin goes on with the readings from before the addition just withdrawn.
func (s *State) rejoin() {
	if s.kept == nil {
		s.window.From, s.window.Expected = math.NaN(), math.NaN()
		return
	}
	w := *s.kept
	for _, b := range s.window.Bins() {
		w = w.Push(b.T, b.Y)
	}
	s.window, s.kept = w, nil
}

// correct restates the addition that the event names.
func (s State) correct(e journal.Event) (State, error) {
	i := slices.IndexFunc(s.entries, func(en Entry) bool { return en.Seq == e.Correct.Seq && !en.Undone })
	if i < 0 {
		return s, ErrNothing
	}
	en, err := s.entry(e.Correct.To)
	if err != nil {
		return s, err
	}
	s.entries = slices.Clone(s.entries)
	old := &s.entries[i]
	old.Stock, old.Drops, old.Volume, old.Changed = en.Stock, en.Drops, en.Volume, true
	s.window.Expected = math.NaN()
	s.advice = nil
	return s, nil
}

// confirm notes that a person has looked at what is being complained about.
func (s State) confirm() State {
	if est := s.learned.Estimate(s.window, s.T); est.State != settle.Empty {
		a := s.advise(est, s.T)
		s.trusted = s.trusted || s.unexplained() || s.stuck()
		if a.Reason == coach.Moved || a.Reason == coach.Stuck {
			s.advice = nil
			return s
		}
		for _, f := range s.spotted(est, s.T, coach.Advice{}) {
			s.confirmed = append(slices.Clip(s.confirmed), f.Code())
		}
		if a := s.bench.Advise(s.request(est)); a.Do == coach.Check {
			s.confirmed = append(slices.Clip(s.confirmed), a.Codes()...)
		}
	}
	s.advice = nil
	return s
}
