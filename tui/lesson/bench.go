package lesson

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"sync/atomic"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/dip"
	"example.org/halfdrop/tui/past"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/screen/task"
)

// errLeft is returned when the person leaves before the run has begun.
var errLeft = errors.New("left before the run had started; nothing was recorded")

// practiceFront is how a person at the terminal does an exercise.
type practiceFront interface {
	// standards asks which of the lists of standards to take.
	standards(ctx context.Context, lists [][]string) (int, error)
	// dip leads through the standards of a rig.
	dip(ctx context.Context, r *dip.Rig) error
	// told shows what came of a calibration.
	told(ctx context.Context, c calib.Calibration) error
	// run shows the run until it has ended.
	run(ctx context.Context, r tui.Runner, p tui.Practice) error
}

// errPaused is returned when the person leaves a run to go on with it later.
var errPaused = errors.New("left; it can be resumed where it stands")

// stand is the bench of a sitting.
type stand struct {
	sitting
	bench  *sim.Bench
	plate  *practice.Plate
	clock  *sim.Clock
	source meter.Source
	begun  time.Time // time of day of second 0
	past   []task.TracePoint
	recall brought.Recall
	found  map[string]bool // faults that were named rightly, by their names
}

func (s sitting) stand() (*stand, error) {
	b, _, err := s.e.NewBench(s.seed)
	if err != nil {
		return nil, err
	}
	st := &stand{sitting: s, bench: b, plate: s.e.NewPlate(b), clock: sim.NewClock(s.speed), begun: time.Now()}
	st.plug()
	return st, nil
}

// plug ties the bench to its clock.
func (s *stand) plug() {
	if s.e.Calibrate != nil { // else the meter comes calibrated
		s.bench.Wire(s.clock, sim.SendMV)
	}
	s.source = s.bench.Source(s.clock, sim.Every)
}

func (s *stand) wall(t float64) time.Time {
	return s.begun.Add(time.Duration(t * float64(time.Second)))
}

// sit does an exercise and is the path of its journal.
func (f *Lesson) sit(ctx context.Context, s sitting, front practiceFront) (string, error) {
	st, err := s.stand()
	if err != nil {
		return "", err
	}
	cal, err := st.calibrate(ctx, front)
	if err != nil {
		return "", err
	}
	slip, err := practice.NewSlip(s.e, s.seed, s.coach, s.speed, sim.Every)
	if err != nil {
		return "", err
	}
	slip.Drips = true
	first, err := practice.Start(s.e, slip, st.begun, f.Program, f.Operator)
	if err != nil {
		return "", err
	}
	f.Bench.Sim = true
	if err := f.Bench.TakeOver(s.e.Plan, &first, os.Stderr); err != nil {
		return "", err
	}
	st.recall = f.Bench.Recall()
	folder, err := f.journals()
	if err != nil {
		return "", err
	}
	log, err := journal.CreateIn(folder, st.begun, s.e.Name, first, journal.WithClock(time.Now))
	if err != nil {
		return "", remedy.With(err, "name another folder with --folder")
	}
	defer log.Close()
	keeper, err := keep.NewKeeper(first, st.watch(log), st.wall)
	if err != nil {
		return "", err
	}
	if err := st.begin(keeper, cal); err != nil {
		return "", err
	}
	if err := st.hold(ctx, keeper, front); err != nil {
		return log.Path(), err
	}
	return log.Path(), f.Bench.Teach(keeper.State, log.Path(), os.Stderr)
}

// kinded is a log that knows kind and number of its latest event.
type kinded struct {
	keep.Log
	kind journal.Kind
	seq  int64
}

// Append writes the event.
func (w *kinded) Append(e *journal.Event) error {
	err := w.Log.Append(e)
	if err == nil {
		w.kind, w.seq = e.Kind, e.Seq
	}
	return err
}

// watch lets the plate see what is written: a correction on paper moves no drop.
func (s *stand) watch(log keep.Log) keep.Log {
	w := &kinded{Log: log}
	s.plate.Last = func() (journal.Kind, int64) { return w.kind, w.seq }
	return w
}

// begin records what was so before the first reading.
func (s *stand) begin(k *keep.Keeper, cal *calib.Calibration) error {
	if cal != nil {
		payload, err := json.Marshal(cal)
		if err != nil {
			return fmt.Errorf("calibration: %w", err)
		}
		if err := k.Take(journal.Event{T: s.clock.Seconds(), Kind: journal.Calibrated, Calibration: payload}); err != nil {
			return err
		}
	}
	return s.e.TellGiven(k)
}

// takeUp goes on with a run that was left, and is the path of its journal.
func (f *Lesson) takeUp(ctx context.Context, path string, front func() practiceFront) (string, error) {
	old, err := replay.Open(path)
	if err != nil {
		return "", err
	}
	left, err := practice.TakeUp(old)
	if err != nil {
		return "", err
	}
	r, err := keep.ResumeHeld(path, time.Now(), journal.WithClock(time.Now))
	if err != nil {
		return "", keep.Unresumed(path, err)
	}
	defer r.Writer.Close()
	slip := left.Slip
	st := &stand{sitting: sitting{e: left.Exercise, coach: slip.Coach, speed: slip.Speed, seed: slip.Seed}, bench: left.Bench, plate: left.Plate,
		clock: sim.NewClock(slip.Speed).From(left.T), begun: r.Begin, found: left.Found}
	for _, x := range old.Trace(left.T, 4000) {
		st.past = append(st.past, task.TracePoint{T: x.T, PH: x.PH})
	}
	st.plug()
	at := r.Keeper.State
	keeper := keep.ResumeKeeper(at, st.watch(r.Writer), st.wall)
	return path, st.hold(ctx, keeper, front())
}

// hold holds the run until it has ended.
func (s *stand) hold(ctx context.Context, k *keep.Keeper, front practiceFront) error {
	session := session.NewSession(k, s.source, s.clock.Seconds, s.plate)
	session.Recall = s.recall
	ctx, cancel := context.WithCancel(ctx)
	ended := make(chan error, 1)
	go func() { ended <- remedy.Guard(ctx, session.Run) }()
	err := front.run(ctx, session, s.practice())
	cancel()
	runErr := <-ended
	switch {
	case err == nil && errors.Is(runErr, context.Canceled):
		return errPaused // nobody has closed it
	case err == nil:
		err = runErr
	}
	return err
}

// practice is what the run has beside a run.
func (s *stand) practice() tui.Practice {
	p := tui.Practice{Silent: s.coach != practice.Full, Ask: s.coach == practice.Ask, Asked: practice.AskedCode, Goal: s.e.Goal, Past: s.past}
	p.Pause = func() bool {
		if s.clock.Paused() {
			s.clock.Resume()
		} else {
			s.clock.Pause()
		}
		return s.clock.Paused()
	}
	if !s.e.Find {
		return p
	}
	var kinds []sim.FaultKind
	for _, k := range sim.Faults() {
		if !k.Person {
			kinds = append(kinds, k)
			p.Faults = append(p.Faults, menu.Row{Left: fmt.Sprintf("%2d", len(kinds)), Text: k.Title, About: "What it looks like: " + k.Sign + "."})
		}
	}
	if s.found == nil {
		s.found = map[string]bool{}
	}
	var all atomic.Bool
	see := func() { all.Store(len(s.found) >= len(s.e.Faults)) }
	see()
	p.Now = func() string {
		if !all.Load() || !s.e.Finishes() {
			return ""
		}
		return "What was wrong is found. Now finish the buffer: to the aim, read at rest, then q."
	}
	p.Ways = ways
	p.Name = func(row int, by tui.Evidence) (intent.Intent, bool) {
		k := kinds[row]
		if s.e.Has(k.Name) {
			s.found[k.Name] = true
		}
		see()
		return s.name(k, by, len(s.found))
	}
	return p
}

// ways are how a fault shows where it was pointed at, in the order of practice.Ways: a name
// alone may be a guess.
var ways = []menu.Row{
	{Left: " 1", Text: "higher than on a sound bench", About: "Without the fault the meter would show a lower pH there."},
	{Left: " 2", Text: "lower than on a sound bench", About: "Without the fault the meter would show a higher pH there."},
	{Left: " 3", Text: "unsteady", About: "Without the fault it would show about the same, but steadily."},
}

// name answers a person who takes a fault for the one at work. found is how many
// right ones have been named.
func (s *stand) name(k sim.FaultKind, by tui.Evidence, found int) (in intent.Intent, over bool) {
	way := practice.Unsaid
	if all := practice.Ways(); by.Way >= 0 && by.Way < len(all) {
		way = all[by.Way]
	}
	in = intent.Intent{Kind: intent.Remark, Code: practice.FaultCode(k.Name, by.At, by.Addition, way)}
	switch {
	case !s.e.Has(k.Name):
		in.Text = "no, it is not that: " + k.Title
	case s.bench.Mend(k.Name):
		in.Text = "right, " + k.Title + ": it has been put right, carry on"
	case k.Mends:
		in.Text = "right, " + k.Title
	default:
		in.Text = "right, " + k.Title + ": " + k.Cure
	}
	return in, s.e.Has(k.Name) && !s.e.Finishes() && found >= len(s.e.Faults)
}

// judged is the result of a journal.
func judged(path string) (score.Result, error) {
	r, err := past.Open(path)
	if err != nil {
		return score.Result{}, err
	}
	return score.Judge(r)
}
