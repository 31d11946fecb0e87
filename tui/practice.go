package tui

import (
	"cmp"
	"context"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/hand"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/screen/task"
	"example.org/halfdrop/tui/terminal"
)

// Practice is what a practice run has beside a run.
type Practice struct {
	Silent bool   // the coach says nothing
	Ask    bool   // with Silent: it says something when it is asked
	Asked  string // code of the remark that it was
	Goal   string // said in place of the advice
	// Now is said in place of the goal once it is not empty: what is left to do.
	Now func() string

	Faults []menu.Row // what may be wrong; empty when nothing is to be found
	// Ways are how a fault shows where it is pointed at; empty when that is not asked.
	Ways []menu.Row
	// Name is what the person wants recorded who takes the fault of a row for
	// the one at work, and whether the run is over with it.
	Name func(row int, by Evidence) (in intent.Intent, over bool)
	// Past are the readings before the run was taken up again.
	Past []task.TracePoint
	// Pause lets the simulated time stand or go on, and reports whether it stands.
	Pause func() bool
}

// Evidence is what shows a fault.
type Evidence struct {
	At       float64 // s, of a reading or an addition; NaN for none
	Addition bool    // it is the addition of that time
	Way      int     // row of Practice.Ways; −1 when it was not said
}

// practising is the program of a practice run: a run whose advice may be
// hidden, with a few keys more.
type practising struct {
	*Model
	p      Practice
	real   view.View // with the advice
	asked  int       // additions, one more, when the coach was asked; 0 when it was not
	past   past
	trace  *task.Trace // the readings, pointed at
	naming *menu.Menu
	how    *menu.Menu // how it shows there, once a fault is chosen
	typed  int        // number typed in the list of faults
	keys   bool       // the keys of the readings, or of the list, are shown
	paused bool       // time stands
}

// RunPractice shows a practice run until it has ended or the person has left.
func RunPractice(ctx context.Context, r Runner, p Practice, o terminal.Options) error {
	return terminal.Show(ctx, NewPractice(r, p, o), o)
}

// NewPractice is the program for a practice run.
func NewPractice(r Runner, p Practice, o terminal.Options) tea.Model {
	m := &practising{p: p, past: past{points: slices.Clone(p.Past)}}
	m.Model = newModel(&frank{r, &m.real}, o, func() {})
	return m
}

// frank is a run whose end tells how it really stood.
type frank struct {
	Runner
	real *view.View
}

// Post hands over what a person wants.
func (f *frank) Post(in intent.Intent) {
	if in.Kind == intent.End {
		in.Text = outcome(*f.real)
	}
	f.Runner.Post(in)
}

// hide is the view as it may be seen.
func (m *practising) hide(v view.View) view.View {
	if !m.p.hidden(m.asked == len(v.Entries)+1) {
		return v
	}
	return v.Hushed(m.p.silence())
}

func (p Practice) hidden(asked bool) bool { return p.Silent && !(p.Ask && asked) }

func (p Practice) silence() string {
	goal := p.Goal
	if p.Now != nil {
		goal = cmp.Or(p.Now(), goal)
	}
	if p.Ask && !strings.Contains(goal, "a asks the coach") {
		goal += " a asks the coach."
	}
	return goal
}

// Update takes what the run takes; a key of the practice is its own.
func (m *practising) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case seen:
		m.real = view.View(msg)
		m.past.see(m.real)
		_, cmd := m.Model.Update(seen(m.hide(m.real)))
		return m, cmd
	case tea.KeyMsg:
		if (m.mode == running && m.naming == nil && m.trace == nil || m.mode == asking) && msg.String() == "x" {
			return m, tea.Quit // nothing closes the run: it can be gone on with
		}
		if m.own(msg) {
			m.drawn = ""
			return m, nil
		}
	}
	_, cmd := m.Model.Update(msg)
	return m, cmd
}

// own takes the keys of the practice.
func (m *practising) own(msg tea.KeyMsg) bool {
	if m.naming != nil || m.trace != nil {
		for _, key := range terminal.Keys(msg) {
			switch {
			case m.keys || key == "?":
				m.keys = !m.keys
			case m.how != nil:
				m.pressInWays(key)
			case m.naming != nil:
				m.pressInNames(key)
			default:
				m.pressInTrace(key)
			}
		}
		return true
	}
	if m.mode != running || msg.Type != tea.KeyRunes || len(msg.Runes) != 1 {
		return false
	}
	switch msg.Runes[0] {
	case 'a':
		m.ask()
	case 'f':
		m.openTrace()
	case 'p':
		m.pause()
	default:
		return false
	}
	return true
}

func (m *practising) ask() {
	switch {
	case !m.p.Silent:
		m.take(hand.Sorry("the coach says what it thinks all the time"))
	case !m.p.Ask:
		m.take(hand.Sorry("no coach in this run; you decide"))
	case m.hand.Any:
		m.asked = len(m.real.Entries) + 1
		m.hand.See(m.hide(m.real))
		m.take(hand.Answer{Want: &intent.Intent{Kind: intent.Remark, Text: "the coach was asked", Code: m.p.Asked}})
	}
}

func (m *practising) pause() {
	if m.p.Pause == nil {
		m.take(hand.Sorry("time cannot be stopped here"))
		return
	}
	text := "time runs"
	if m.paused = m.p.Pause(); m.paused {
		text = timeStands
	}
	m.take(hand.Say("%s", text))
}

// timeStands is said for as long as it does: what falls then falls later.
const timeStands = "time is paused; p lets it run"

// View is the run, or the list of faults over it.
func (m *practising) View() string {
	if m.w == 0 {
		return ""
	}
	for _, list := range []*menu.Menu{m.how, m.naming} {
		if list == nil {
			continue
		}
		if m.keys {
			return keyrow.Page(list.Title, list.Keys, m.set, m.w, m.h)
		}
		return menu.Draw(*list, m.w, m.h)
	}
	if m.trace != nil {
		if m.keys {
			return keyrow.Page(m.trace.Title, m.trace.Keys, m.set, m.w, m.h)
		}
		return task.Traced(*m.trace, m.w, m.h)
	}
	if m.drawn == "" {
		m.drawn = screen.Coach(m.screen(), m.w, m.h)
	}
	return m.drawn
}

// practiceKeys are the keys more, for the help.
var practiceKeys = []keyrow.Key{
	{Name: "a", Does: "ask the coach, where the exercise allows it"},
	{Name: "f", Does: "point at what shows a fault, and name it, where there is one to be found"},
	{Name: "p", Does: "pause the simulated time, or let it run"},
	{Name: "x", Does: "leave it as it stands, to resume later"},
}

// screen is the state of the run with the keys of the practice.
func (m *practising) screen() screen.State {
	st := m.state()
	if m.paused && st.Message == "" {
		st.Message = timeStands
	}
	if len(st.Help) > 0 {
		st.Help = append(st.Help[:len(st.Help):len(st.Help)], practiceKeys...)
		return st
	}
	if m.mode == asking {
		st.Keys = append(st.Keys[:len(st.Keys):len(st.Keys)], keyrow.Key{Name: "x", Short: "leave, to resume later"})
		return st
	}
	if m.mode != running || m.hand.Typed != "" || m.hand.Counting {
		return st
	}
	var more []keyrow.Key
	if m.hand.View.Silent != "" {
		st.Keys = []keyrow.Key{{Name: "Space", Short: "count drops"}, {Name: "0-9", Short: "amount"}, {Name: "t", Short: "bottle: " + m.hand.Titrant()},
			{Name: "q", Short: "end"}, {Name: "?", Short: "keys"}}
		if !m.hand.NothingGiven() {
			st.Keys = append(st.Keys, keyrow.Key{Name: "u", Short: "undo"})
		}
		if m.p.Ask {
			more = append(more, keyrow.Key{Name: "a", Short: "ask"})
		}
	}
	if len(m.p.Faults) > 0 {
		more = append(more, keyrow.Key{Name: "f", Short: "what is wrong?"})
	}
	n := min(1, len(st.Keys))
	st.Keys = append(append(append([]keyrow.Key{}, st.Keys[:n]...), more...), st.Keys[n:]...)
	return st
}
