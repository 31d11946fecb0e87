// Package home has the menus of the home screen: the tasks, what each needs, and the
// command line that is chosen; and beside them the last run and what is remembered.
package home

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/pick"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/terminal"
)

// choice is one row of a menu of the home screen: words, and the command line
// that it stands for or a menu that asks for more of it.
type choice struct {
	row  menu.Row
	args []string
	// instead means that args are the whole command line, whatever came before.
	instead bool
	ask     func(args []string) question
}

// question is a menu of the home screen.
type question struct {
	title, facts string
	choices      []choice
	more         func(at int) *menu.Side // beside the menu, for a row; nil for none
}

// Known is what the home screen is told of the machine.
type Known struct {
	Meters func() []string        // names of the meters that were learned
	Ports  func() ([]Port, error) // asked when a meter is to be chosen
	Look   terminal.Options
	// Electrodes are those that were calibrated under a name; nil for none.
	Electrodes func() []shelf.CalibratedElectrode
}

// Port is a serial port, and what the system tells of it.
type Port struct{ Name, About string }

// errBack is returned when the person leaves a menu.
var errBack = errors.New("back")

// Ask shows the tasks and what they need, and is the command line chosen; nil when the
// person left.
func (k *Known) Ask(ctx context.Context) ([]string, error) {
	folder, kept, err := keptRuns()
	if err != nil {
		return nil, err
	}
	args, err := k.asking(ctx, k.tasks(folder, kept), nil)
	if errors.Is(err, errBack) {
		return nil, nil
	}
	return args, err
}

// asking shows a menu and those that follow from it, and is the command line
// chosen. Leaving a menu goes back to the one before it; leaving the first is
// errBack.
func (k *Known) asking(ctx context.Context, q question, args []string) ([]string, error) {
	m := menu.Menu{Title: q.title, Facts: q.facts, Airy: true, Keys: keyrow.Menu("continue")}
	for i, c := range q.choices {
		c.row.Left = fmt.Sprint(i + 1)
		m.Rows = append(m.Rows, c.row)
	}
	for {
		n, ok, err := pick.Choose(ctx, m, q.more, k.Look)
		switch {
		case err != nil:
			return nil, err
		case !ok:
			return nil, errBack
		}
		c := q.choices[n]
		chosen := append(args[:len(args):len(args)], c.args...)
		if c.instead {
			chosen = c.args
		}
		if c.ask == nil {
			return chosen, nil
		}
		chosen, err = k.asking(ctx, c.ask(chosen), chosen)
		if !errors.Is(err, errBack) {
			return chosen, err
		}
		m.At = n
	}
}

// keptRuns are the runs in the data folder, the latest first, without those
// that cannot be read: halfdrop check is for them.
func keptRuns() (string, []keep.Kept, error) {
	folder, err := journal.DefaultFolder()
	if err != nil {
		return "", nil, nil // a system without a home folder has no last run
	}
	all, err := keep.List(folder)
	if err != nil {
		return folder, nil, err
	}
	var kept []keep.Kept
	for _, k := range all {
		if k.Err == nil {
			kept = append(kept, k)
		}
	}
	return folder, kept, nil
}

// tasks is the first menu.
func (k *Known) tasks(folder string, kept []keep.Kept) question {
	q := question{title: "halfdrop", facts: lastRun(kept), more: func(int) *menu.Side { return k.atHome(kept) }}
	for _, r := range kept {
		if !r.Ended && !journal.Busy(r.Path) { // else it goes on at another window
			q.choices = append(q.choices, resumption(r))
			break
		}
	}
	look := choice{row: menu.Row{Text: "Look back on a run", Right: phrase.Counted(len(kept), "run"),
		About: "Step through a run, addition by addition: where it overshot, and why."}, args: []string{"replay"},
		ask: func([]string) question { return whichJournal(folder, kept) }}
	if len(kept) == 0 {
		look.row.Right = "none yet"
	}
	q.choices = append(q.choices,
		choice{row: menu.Row{Text: "Plan a buffer", About: "From a target pH to what to weigh, a bench sheet and a plan file for the coach."},
			args: []string{"plan"}},
		choice{row: menu.Row{Text: "Calibrate the electrode", About: "Two or three standards on both sides of the aim; at each power-on, and again after 3 to 4 hours (common practice)."},
			args: []string{"calibrate"}, ask: func([]string) question {
				return k.orTyped(k.whichMeter("Calibrate", "simulated electrode", k.nextStandards))
			}},
		choice{row: menu.Row{Text: "Titrate", About: "The coach beside you: it reads the meter and says how many drops of what to add next, when to wait and when to stop. " + keyrow.Caution},
			args: []string{"titrate"}, ask: func([]string) question {
				return orByHand(k.whichMeter("Titrate", "simulated bench", k.nextPlan), k.nextPlan)
			}},
		look,
		choice{row: menu.Row{Text: "Practise", About: "Exercises on the simulated bench, with the faults of real ones, a score and a debrief."},
			args: []string{"practice"}},
		choice{row: menu.Row{Text: "Find a strength or an amount", About: "The strength of a bottle against a weighed standard, or what is in a sample: the coach orders the additions that tell most. " + keyrow.Caution},
			args: []string{"titrate", "--find"}, ask: func([]string) question {
				return orByHand(k.whichMeter("Find", "simulated bench", k.nextPlan), k.nextPlan)
			}},
	)
	return q
}

// resumption offers to go on with a run that was broken off.
func resumption(k keep.Kept) choice {
	return choice{row: menu.Row{Text: "Resume " + named(k), Right: "unfinished",
		About: fmt.Sprintf("Left %s after %s. Nothing is lost: the run continues where its record ends.", shelf.LeftAt(k.Path, k.Last).Local().Format("2 Jan 15:04"), phrase.Lasting(k.Seconds))},
		args: []string{"titrate", "--resume", k.Path}}
}

func named(k keep.Kept) string {
	if k.Name == "" {
		return filepath.Base(k.Path)
	}
	return k.Name
}

// lastRun says in a few words what the latest run was and how it ended.
func lastRun(kept []keep.Kept) string {
	if len(kept) == 0 {
		return "no run yet"
	}
	k := kept[0]
	return fmt.Sprintf("last run %s, %s, %s", k.Begun.Local().Format("2 Jan 15:04"), outcomeOf(k, "unfinished"), named(k)) // what may be left out goes last
}

// whichMeter asks where the readings come from, and then what next asks.
func (k *Known) whichMeter(title, simulated string, next func(args []string) question) question {
	q := question{title: title, facts: "where do the readings come from?"}
	q.choices = append(q.choices,
		choice{row: menu.Row{Text: "the " + simulated, About: "Nothing to connect, nothing to spill: for trying it out."}, args: []string{"--sim"}, ask: next},
		choice{row: menu.Row{Text: "a meter, wherever it is", About: "Listens on every serial port, at the usual speeds, until something that sends like a pH meter is found; up to 15 s."},
			args: []string{"--port", "auto"}, ask: next})
	for _, name := range k.Meters() {
		q.choices = append(q.choices, choice{row: menu.Row{Text: "the meter " + name, About: "Learned with halfdrop ports --learn; its port is kept with it."}, args: []string{"--meter", name}, ask: next})
	}
	list, err := k.Ports()
	if err != nil {
		q.facts = phrase.Plain(err).Error()
	}
	for _, p := range list {
		q.choices = append(q.choices, choice{row: menu.Row{Text: "the meter on " + p.Name, About: p.About}, args: []string{"--port", p.Name}, ask: next})
	}
	return q
}

// orByHand offers to type what the display shows, for a meter without a line.
func orByHand(q question, next func(args []string) question) question {
	q.choices = append(q.choices, choice{row: menu.Row{Text: "a display: type what it shows", About: "For a meter that is not connected: one value per addition is enough, once its display is steady."},
		args: []string{"--by-hand"}, ask: next},
		choice{row: menu.Row{Text: "the simulated bench, read off by hand", About: "The display of the simulated bench, to practise reading and typing."},
			args: []string{"--sim", "--by-hand"}, ask: next})
	return q
}

// orTyped offers the same in standards.
func (k *Known) orTyped(q question) question {
	q.choices = append(q.choices, choice{row: menu.Row{Text: "a display: type what it shows", About: "For a meter that is not connected: what it shows in each standard, once steady. A meter that shows pH is checked, not calibrated."},
		args: []string{"--typed"}, ask: k.nextStandards})
	return q
}

// nextStandards and nextPlan ask for the standards of a calibration and for the plan of a
// titration, and then which electrode it is, where some are known by name.
func (k *Known) nextStandards(args []string) question {
	return k.thenElectrode(nextStandards(args), args)
}
func (k *Known) nextPlan(args []string) question { return k.thenElectrode(nextPlan(args), args) }

// thenElectrode lets each choice that is a whole command ask for the electrode: the calibration
// of one with a name is used only under it.
func (k *Known) thenElectrode(q question, args []string) question {
	if k.Electrodes == nil || slices.Contains(args, "--sim") {
		return q
	}
	known := k.Electrodes()
	if len(known) == 0 {
		return q
	}
	which := question{title: q.title, facts: "which electrode?"}
	for _, e := range known {
		which.choices = append(which.choices, choice{row: menu.Row{Text: "the electrode " + e.Name, Right: e.State, About: "Its calibrations are kept under this name, and used with it."}, args: []string{"--electrode", e.Name}})
	}
	about := "No calibration that was kept is used: the pH is the one that the meter shows."
	if slices.Contains(args, "calibrate") {
		about = "Kept without a name. To give one: halfdrop calibrate --electrode NAME."
	}
	which.choices = append(which.choices, choice{row: menu.Row{Text: "another one, without a name", About: about}})
	for i := range q.choices {
		if c := &q.choices[i]; c.ask == nil && !c.instead {
			c.ask = func([]string) question { return which }
		}
	}
	return q
}

// nextStandards asks for the standards of a calibration.
func nextStandards([]string) question {
	q := question{title: "Calibrate", facts: "which standards? Both sides of the aim"}
	for _, s := range []struct{ list, about string }{
		{"7.00,4.01", "For acidic aims (common practice)."},
		{"7.00,10.01", "For basic aims (common practice)."},
		{"7.00,4.01,10.01", "For aims on both sides of 7, and to see whether the slope is the same on both."},
	} {
		q.choices = append(q.choices, choice{row: menu.Row{Text: strings.ReplaceAll(s.list, ",", "  "), About: s.about}, args: []string{"--standards", s.list}})
	}
	return q
}

// nextPlan asks for the plan of a titration: the plan files of this folder,
// and for the simulator the built-in one.
func nextPlan(args []string) question {
	finds := slices.Contains(args, "--find")
	q := question{title: "Titrate", facts: "which plan?"}
	about := "A buffer for trying the coach."
	if finds {
		q.title, about = "Find", "The strength of a base against potassium hydrogen phthalate, for trying it out."
	}
	if slices.Contains(args, "--sim") {
		q.choices = append(q.choices, choice{row: menu.Row{Text: "the built-in plan", About: about}})
	}
	files, err := filepath.Glob("*.toml")
	if err != nil {
		files = nil
	}
	for _, f := range files {
		p, err := planfile.Load(f)
		if err != nil && meantAsPlan(f, finds) { // a plan that is not listed is looked for in vain
			why, _, _ := strings.Cut(phrase.Plain(err).Error(), "\n")
			q.choices = append(q.choices, choice{row: menu.Row{Text: f, Right: "cannot be used", About: why}, args: []string{"--plan", f}})
		}
		if err == nil && finds && p.Find != nil {
			q.choices = append(q.choices, choice{row: menu.Row{Text: f, Right: p.Find.What, About: p.Name}, args: []string{"--plan", f}})
		}
		if err == nil && !finds && p.Target.PH != nil {
			q.choices = append(q.choices, choice{row: menu.Row{Text: f, Right: fmt.Sprintf("pH %.2f", *p.Target.PH), About: p.Name}, args: []string{"--plan", f}})
		}
	}
	if len(q.choices) == 0 && finds {
		q.choices = append(q.choices, choice{row: menu.Row{Text: "no plan with [find] here: show one",
			About: "Write it to a file, as in: halfdrop find example > naoh.toml; edit it, and it will be listed here."}, args: []string{"find", "example"}, instead: true})
	}
	if len(q.choices) == 0 {
		wd, _ := os.Getwd()
		q.choices = append(q.choices, choice{row: menu.Row{Text: "no plan file here: make one",
			About: "There is no plan in " + wd + ". Plan a buffer first; its plan file will then be listed here."}, args: []string{"plan"}, instead: true})
	}
	return q
}

// The heads of the tables that make a plan one: of a buffer, and of an amount to find.
var (
	targetTable = regexp.MustCompile(`(?m)^[ \t]*\[[ \t]*target[ \t]*\]`)
	findTable   = regexp.MustCompile(`(?m)^[ \t]*\[[ \t]*find[ \t]*\]`)
)

// meantAsPlan reports whether a file has the table that makes a plan one, whatever else is
// wrong with it.
func meantAsPlan(path string, finds bool) bool {
	table := targetTable
	if finds {
		table = findTable
	}
	text, err := intake.ReadFile(path, textfile.MaxPlan)
	return err == nil && table.Match(text)
}

// mostJournals are the runs offered to look back on.
const mostJournals = 30

// whichJournal asks which run to look back on.
func whichJournal(folder string, kept []keep.Kept) question {
	q := question{title: "Look back on a run", facts: folder, more: func(at int) *menu.Side {
		if at >= len(kept) {
			return nil
		}
		return aboutRun(kept[at])
	}}
	for _, k := range kept[:min(len(kept), mostJournals)] {
		q.choices = append(q.choices, choice{row: menu.Row{Text: named(k), Right: k.Begun.Local().Format("2 Jan 15:04"),
			About: fmt.Sprintf("%s, %s, %s.", phrase.UpperFirst(k.Source), outcomeOf(k, "unfinished"), phrase.Lasting(k.Seconds))}, args: []string{k.Path}})
	}
	if len(q.choices) == 0 {
		q.choices = append(q.choices, choice{row: menu.Row{Text: "no run yet: titrate on the simulated bench", About: "Every run is recorded; it will be listed here."},
			args: []string{"titrate", "--sim"}, instead: true})
	}
	return q
}
