package lesson

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/sheet"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/tui/dip"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/past"
	"example.org/halfdrop/tui/pick"
	"example.org/halfdrop/tui/playback"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/screen/task"
)

// OnScreens is practice on the screen: choose, read, do, debrief, and again. e
// is the exercise to begin with; nil lets the person choose.
func (f *Lesson) OnScreens(ctx context.Context, e *practice.Exercise) error {
	at := -1
	for ctx.Err() == nil {
		pick := picked{exercise: e}
		if e == nil {
			var err error
			if pick, at, err = f.choose(ctx, at); err != nil || pick.none() {
				return err
			}
		}
		again := true
		for again && ctx.Err() == nil {
			var err error
			if again, err = f.once(ctx, pick); err != nil {
				return err
			}
			pick.left = "" // once more is from the beginning
		}
		if e != nil {
			return nil
		}
	}
	return nil
}

// picked is what was chosen: an exercise, or a run of it to go on with.
type picked struct {
	exercise *practice.Exercise
	left     string // the journal
}

func (p picked) none() bool { return p.exercise == nil }

// choose lets a person choose from the menu; the cursor stands at a row of it.
func (f *Lesson) choose(ctx context.Context, at int) (picked, int, error) {
	m, picks, err := f.menu(at)
	if err != nil {
		return picked{}, at, err
	}
	n, ok, err := pick.Choose(ctx, m, func(at int) *menu.Side { return f.side(picks[at]) }, f.Look)
	if err != nil || !ok {
		return picked{}, n, err
	}
	return picks[n], n, nil
}

// menu is the runs that were left and the exercises with the best result of each; a
// cursor below 0 stands at what is to be done next.
func (f *Lesson) menu(at int) (m menu.Menu, picks []picked, err error) {
	all, err := practice.Exercises()
	if err != nil {
		return m, nil, err
	}
	folder, err := f.journals()
	if err != nil {
		return m, nil, err
	}
	stands := class.Stands(folder)
	next, why := stands.Next(all)
	m = menu.Menu{Title: "Practice", Facts: why, Keys: keyrow.Menu("read the story")}
	if next != nil {
		m.Facts = fmt.Sprintf("next: %d, %s (%s)", next.Number, next.Title, why)
	}
	for _, k := range f.unfinished(folder) {
		m.Keys = keyrow.Menu("open")
		m.Rows = append(m.Rows, menu.Row{Left: " ", Text: "Resume: " + k.exercise.Title, Right: "left at " + phrase.Clock(k.Seconds),
			About: "Time at the bench has stood still since " + shelf.LeftAt(k.Path, k.Last).Local().Format("2 Jan 15:04") + "."})
		picks = append(picks, picked{k.exercise, k.Path})
	}
	for _, e := range all {
		right := fmt.Sprintf("step %d", e.Level)
		if p, ok := stands.Best[e.Name]; ok {
			right = fmt.Sprintf("best %.0f · step %d", p, e.Level)
		}
		if e == next && at < 0 {
			at = len(picks)
		}
		m.Rows = append(m.Rows, menu.Row{Left: fmt.Sprintf("%2d", e.Number), Text: e.Title, Right: right,
			About: fmt.Sprintf("Teaches %s. Step %d, %s; %s.", e.Teaches, e.Level, practice.StepName(e.Level), coachWords[e.Coach])})
		picks = append(picks, picked{exercise: e})
	}
	m.At = max(0, min(at, len(picks)-1))
	return m, picks, nil
}

// once tells the story, does the exercise and shows the debrief. It reports
// whether the person wants it once more.
func (f *Lesson) once(ctx context.Context, p picked) (again bool, err error) {
	e, path := p.exercise, p.left
	if path != "" {
		path, err = f.takeUp(ctx, path, func() practiceFront { return &screenFront{e.Title, f.Look} })
	} else {
		s, ok, err := f.story(ctx, f.sitting(e))
		if err != nil || !ok {
			return false, err
		}
		if path, err = f.sit(ctx, s, &screenFront{e.Title, f.Look}); err != nil {
			return f.broken(path, err)
		}
	}
	if err != nil {
		return f.broken(path, err)
	}
	res, err := judged(path)
	if err != nil {
		return false, err
	}
	if err := class.Note(filepath.Dir(path), res); err != nil {
		return false, err
	}
	again, err = f.debrief(ctx, res, path)
	fmt.Fprintf(os.Stderr, "halfdrop: %s: %.0f points, recorded in %s\n", e.Name, res.Points, path)
	return again, err
}

// broken is what is to be said of a run that was not brought to its end.
func (f *Lesson) broken(path string, err error) (bool, error) {
	switch {
	case errors.Is(err, errPaused):
		fmt.Fprintf(os.Stderr, "halfdrop: %v: halfdrop practice --resume %s\n", err, path)
		return false, nil
	case errors.Is(err, errLeft), errors.Is(err, dip.ErrStopped):
		return false, nil
	}
	return false, err
}

// story tells the task; c and + - change how it is done. ok is false when the
// person goes back.
func (f *Lesson) story(ctx context.Context, s sitting) (sitting, bool, error) {
	for {
		key, err := pick.Tell(ctx, s.task(), []string{"c", "+", "-", "="}, f.Look)
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
	practice.Full: "coach: full", practice.Ask: "coach: when asked", practice.Off: "coach: silent",
}

// task is the story of an exercise for the screen.
func (s sitting) task() task.Task {
	e := s.e
	t := task.Task{Title: e.Title, Facts: fmt.Sprintf("step %d · %s · time × %g", e.Level, coachWords[s.coach], s.speed),
		Story: e.Story, Goal: "What to do: " + e.Goal}
	if e.Number > 0 {
		t.Title = fmt.Sprintf("%d. %s", e.Number, e.Title)
	}
	t.Keys = []keyrow.Key{{Name: "Enter", Short: "begin"}, {Name: "c", Short: "coach", Does: "how much the coach says: everything, only when asked, or nothing"},
		{Name: "+ -", Short: "faster, slower", Does: "make the simulated time run faster or slower"}, keyrow.More, {Name: "q", Short: "back"}}
	setup, err := e.Setup()
	if err != nil {
		return t
	}
	in, bottles := []string(nil), []string(nil)
	for _, w := range setup.Weighed {
		in = append(in, fmt.Sprintf("%.4g mmol %s", w.Amount.Millimoles(), w.Reagent.Name))
	}
	for _, st := range setup.Stocks {
		bottles = append(bottles, st.Name)
	}
	where := fmt.Sprintf("in use, at %.3g °C", float64(setup.UseTemp))
	if setup.Unweighed() {
		in, where = []string{"contents unknown"}, "in the beaker as it is"
	}
	if e.Determines() {
		t.Bench = determining(setup)
		return t
	}
	t.Bench = []string{
		fmt.Sprintf("In the beaker: %s in %.4g mL of water, the mark at %.4g mL, %.3g °C.", strings.Join(in, " and "), setup.Start.Millilitres(), setup.Final.Millilitres(), float64(setup.BenchTemp)),
		fmt.Sprintf("Wanted: pH %.2f ± %g %s.", setup.Target, setup.Tolerance, where),
		"Bottles with droppers: " + strings.Join(bottles, ", ") + ".",
	}
	return t
}

// determining are the facts of a bench on which an amount is looked for.
func determining(s *recipe.Setup) []string {
	var in, bottles []string
	for i, w := range s.Weighed {
		amount := fmt.Sprintf("%.4g mmol", w.Amount.Millimoles())
		switch p := s.Plan.Weighed[i]; {
		case p.Grams != nil:
			amount = fmt.Sprintf("%.4f g", *p.Grams)
		case s.What != find.Strength && i == s.Sought():
			amount = "about " + amount
		}
		in = append(in, amount+" of "+w.Reagent.Name)
	}
	for _, st := range s.Stocks {
		if st.ByML {
			bottles = append(bottles, fmt.Sprintf("%s, in mL", st.Name))
		} else {
			bottles = append(bottles, fmt.Sprintf("%s, in drops of %.3g µL", st.Name, st.Drop.Microlitres()))
		}
	}
	return []string{
		fmt.Sprintf("In the beaker: %s in %.4g mL of water, %.3g °C; the vessel holds %.4g mL.", strings.Join(in, " and "), s.Start.Millilitres(), float64(s.BenchTemp), s.Final.Millilitres()),
		"To find: " + sheet.Sought(s) + ".",
		"Titrant: " + strings.Join(bottles, "; ") + ".",
	}
}

// debrief shows the result, and the replay at the moment that mattered.
func (f *Lesson) debrief(ctx context.Context, r score.Result, path string) (again bool, err error) {
	d := debriefOf(r)
	for {
		page, key, err := pick.Debrief(ctx, d, []string{"r"}, f.Look)
		if err != nil || key == "" || key == "r" {
			return key == "r", err
		}
		d.Page = page
		t, err := past.OpenTape(path)
		if err != nil {
			return false, err
		}
		if err := playback.ReplayAt(ctx, t, r.Moment.T, f.Look); err != nil {
			return false, err
		}
	}
}

// debriefOf is a result for the screen.
func debriefOf(r score.Result) task.Debrief {
	d := task.Debrief{Title: r.Title, Facts: fmt.Sprintf("bench %d, coach %s, %s", r.Seed, r.Coach, phrase.Clock(r.Seconds)),
		Points: r.Points, Verdict: r.Verdict(), Moment: r.Moment.Words, Story: r.Story, Learn: r.Learn,
		Keys: []keyrow.Key{{Name: "Enter", Short: "replay", Does: "replay the moment that mattered"}, {Name: "Tab", Short: "next page"}, {Name: "r", Short: "once more"}, keyrow.More, {Name: "q", Short: "back"}}}
	for _, i := range r.Items {
		d.Items = append(d.Items, task.Mark{Name: i.Name, Got: i.Got, Of: i.Of, Why: i.Why})
	}
	for _, k := range practice.Skills {
		if x, ok := r.Skills[k]; ok {
			d.Skills = append(d.Skills, task.Mark{Name: string(k), Got: x.Got, Of: x.Of})
		}
	}
	for _, c := range r.Compare {
		d.Compare = append(d.Compare, task.Beside{T: c.T, Did: c.Did, Coach: c.Coach, Verdict: c.Verdict})
	}
	return d
}

// side is what stands beside the list for an exercise: its story, what is to be done,
// and what stands on the bench.
func (f *Lesson) side(p picked) *menu.Side {
	if p.exercise == nil {
		return nil
	}
	t := f.sitting(p.exercise).task()
	return &menu.Side{Title: t.Title, Words: append([]string{t.Story, t.Goal}, t.Bench...)}
}
