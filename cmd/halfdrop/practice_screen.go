package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/screen"
)

// onScreens is practice on the screen: choose, read, do, debrief, and again. e
// is the exercise to begin with; nil lets the person choose.
func (f *practiceFlags) onScreens(ctx context.Context, e *practice.Exercise) error {
	at := 0
	for ctx.Err() == nil {
		chosen := e
		if chosen == nil {
			var err error
			if chosen, at, err = f.choose(ctx, at); err != nil || chosen == nil {
				return err
			}
		}
		again := true
		for again && ctx.Err() == nil {
			var err error
			if again, err = f.once(ctx, chosen); err != nil {
				return err
			}
		}
		if e != nil {
			return nil
		}
	}
	return nil
}

// choose shows the exercises with the best result of each.
func (f *practiceFlags) choose(ctx context.Context, at int) (*practice.Exercise, int, error) {
	all, err := practice.Exercises()
	if err != nil {
		return nil, at, err
	}
	folder, err := f.journals()
	if err != nil {
		return nil, at, err
	}
	best := practice.Best(folder)
	m := screen.Menu{Title: "Practice", Facts: "the simulated bench; nothing here is real but the mistakes", At: at, Keys: menuKeys("read the story")}
	for i, e := range all {
		right := fmt.Sprintf("level %d", e.Level)
		if p, ok := best[e.Name]; ok {
			right = fmt.Sprintf("best %.0f · level %d", p, e.Level)
		}
		m.Rows = append(m.Rows, screen.MenuRow{Left: fmt.Sprintf("%2d", i+1), Text: e.Title, Right: right, About: e.Story})
	}
	n, key, err := tui.Choose(ctx, m, nil, face)
	if err != nil || key == "" {
		return nil, n, err
	}
	return all[n], n, nil
}

// once tells the story, does the exercise and shows the debrief. It reports
// whether the person wants it once more.
func (f *practiceFlags) once(ctx context.Context, e *practice.Exercise) (again bool, err error) {
	s, ok, err := f.story(ctx, f.sitting(e))
	if err != nil || !ok {
		return false, err
	}
	path, err := f.sit(ctx, s, &screenFront{title: e.Title})
	if errors.Is(err, errLeft) || errors.Is(err, errStopped) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	res, err := judged(path)
	if err != nil {
		return false, err
	}
	if err := practice.Note(filepath.Dir(path), res); err != nil {
		return false, err
	}
	again, err = f.debrief(ctx, res, path)
	fmt.Fprintf(os.Stderr, "halfdrop: %s: %.0f points, recorded in %s\n", e.Name, res.Points, path)
	return again, err
}

// story tells the task; c and + - change how it is done. ok is false when the
// person goes back.
func (f *practiceFlags) story(ctx context.Context, s sitting) (sitting, bool, error) {
	for {
		key, err := tui.Tell(ctx, s.task(), []string{"c", "+", "-", "="}, face)
		if err != nil || key == "" {
			return s, false, err
		}
		switch key {
		case "enter":
			return s, true, nil
		case "c":
			s.coach = map[practice.Coaching]practice.Coaching{practice.Full: practice.Ask, practice.Ask: practice.Off, practice.Off: practice.Full}[s.coach]
		case "+", "=":
			s.speed = min(s.speed*2, 32)
		case "-":
			s.speed = max(s.speed/2, 0.5)
		}
	}
}

var coachWords = map[practice.Coaching]string{
	practice.Full: "coach: says everything", practice.Ask: "coach: when asked", practice.Off: "coach: silent",
}

// task is the story of an exercise for the screen.
func (s sitting) task() screen.Task {
	e := s.e
	t := screen.Task{Title: e.Title, Facts: fmt.Sprintf("level %d · %s · time × %g", e.Level, coachWords[s.coach], s.speed),
		Story: e.Story, Goal: "What to do: " + e.Goal}
	t.Keys = []screen.Key{{Name: "Enter", Short: "begin"}, {Name: "c", Short: "coach"}, {Name: "+ -", Short: "faster, slower"}, {Name: "q", Short: "back"}}
	setup, err := e.Setup()
	if err != nil {
		return t
	}
	var in, bottles []string
	for _, w := range setup.Weighed {
		in = append(in, fmt.Sprintf("%.4g mmol %s", w.Amount.Millimoles(), w.Reagent.Name))
	}
	for _, st := range setup.Stocks {
		bottles = append(bottles, st.Name)
	}
	t.Bench = []string{
		fmt.Sprintf("In the beaker: %s in %.4g mL of water, the mark at %.4g mL, %.3g °C.", strings.Join(in, " and "), setup.Start.Millilitres(), setup.Final.Millilitres(), float64(setup.BenchTemp)),
		fmt.Sprintf("Wanted: pH %.2f ± %g in use, at %.3g °C.", setup.Target, setup.Tolerance, float64(setup.UseTemp)),
		"Bottles with droppers: " + strings.Join(bottles, ", ") + ".",
	}
	return t
}

// debrief shows the result, and the replay at the moment that mattered.
func (f *practiceFlags) debrief(ctx context.Context, r practice.Result, path string) (again bool, err error) {
	d := debriefOf(r)
	for {
		page, key, err := tui.Debrief(ctx, d, []string{"r"}, face)
		if err != nil || key == "" || key == "r" {
			return key == "r", err
		}
		d.Page = page
		t, err := tapeOf(path)
		if err != nil {
			return false, err
		}
		if err := tui.ReplayAt(ctx, t, r.Moment.T, face); err != nil {
			return false, err
		}
	}
}

// debriefOf is a result for the screen.
func debriefOf(r practice.Result) screen.Debrief {
	d := screen.Debrief{Title: r.Title, Facts: fmt.Sprintf("bench %d, coach %s, %s", r.Seed, r.Coach, replay.Clock(r.Seconds)),
		Points: r.Points, Verdict: r.Verdict(), Moment: r.Moment.Words, Story: r.Story, Learn: r.Learn,
		Keys: []screen.Key{{Name: "Enter", Short: "replay what mattered"}, {Name: "Tab", Short: "next page"}, {Name: "r", Short: "once more"}, {Name: "q", Short: "back"}}}
	for _, i := range r.Items {
		d.Items = append(d.Items, screen.Mark{Name: i.Name, Got: i.Got, Of: i.Of, Why: i.Why})
	}
	for _, c := range r.Compare {
		d.Compare = append(d.Compare, screen.Beside{T: c.T, Did: c.Did, Coach: c.Coach, Verdict: c.Verdict})
	}
	return d
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
