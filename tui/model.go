package tui

import (
	"os"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/hand"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/terminal"
	"example.org/halfdrop/tui/widget"
)

// mode is what the keys mean at the moment.
type mode uint8

const (
	running    mode = iota
	remarking       // a remark is typed
	bottling        // another bottle is typed
	noting          // a mass, a lot or a name is typed
	explaining      // a reason in own words is typed
	checking        // the standards of a check are typed
	marking         // a new mark is typed
	asking          // whether to end the run
	helping         // the keys are shown
	ending          // the end was sent, its answer is awaited
)

// Model is the program on the screen. It draws the latest view and sends what
// the person wants, in the order of the keys.
type Model struct {
	runner Runner
	set    *widget.Set
	mode   mode
	hand   hand.Hand
	ring   func()
	voice  voice

	reason  *intent.Intent // what waits for a reason in own words
	asks    bool           // for masses and lots, before the first addition
	open    string         // an order that was asked about as q was pressed, and is not on record
	message string
	wrong   bool
	said    []intent.Answer // what the run has answered last
	line    []rune          // a line of text that is being typed
	drafts  map[mode][]rune // lines that were left with Esc
	page    int             // of the help
	bell    bool
	display func() (pH, temperature string) // of a simulated meter that is read off; nil for none

	w, h  int
	drawn string // the screen as last drawn, empty when it must be drawn anew
}

// New is the program for a run.
func New(r Runner, o terminal.Options) tea.Model { return newModel(r, o, func() {}) }

func newModel(r Runner, o terminal.Options, ring func()) *Model {
	return &Model{runner: r, set: o.Set(os.Getenv), bell: o.Bell, ring: ring, voice: voice{say: o.Speak}, asks: o.Note, display: o.Display, drafts: map[mode][]rune{}}
}

// seen carries a view of the run; gone says that there will be no more.
type (
	seen view.View
	gone struct{}
)

// pause is the least time between two views that are drawn. The run keeps the
// latest one ready, so a fast meter costs no more than this.
const pause = 50 * time.Millisecond

// Init waits for the first view.
func (m *Model) Init() tea.Cmd { return m.next(0) }

func (m *Model) next(after time.Duration) tea.Cmd {
	views := m.runner.Views()
	return func() tea.Msg {
		time.Sleep(after)
		v, ok := <-views
		if !ok {
			return gone{}
		}
		return seen(v)
	}
}

// Update takes a key, a view or a new size.
func (m *Model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	m.drawn = ""
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case seen:
		return m, m.see(view.View(msg))
	case gone:
		return m, tea.Quit
	case tea.KeyMsg:
		return m, m.keys(msg)
	}
	return m, nil
}

func (m *Model) see(v view.View) tea.Cmd {
	old, first := m.hand.View, !m.hand.Any
	if m.message != hand.NoteWords && !first && asksElse(old, v) {
		m.message, m.wrong = "", false // it was said under what is no longer asked
	}
	asked := m.hand.Question != nil
	m.hand.See(v)
	if asked && m.hand.Question == nil {
		m.take(hand.Say(hand.Gone))
	}
	m.voice.hear(v)
	if len(v.Answers) > 0 {
		m.message, m.wrong, m.said = "", false, v.Answers
	}
	if !first && rings(old, v) && (m.bell || v.Advice.Reason == coach.Unsaid) {
		m.ring()
	}
	switch {
	case m.asks && hand.Unnoted(v) && !hand.Troubled(v):
		m.asks = false
		m.take(hand.Say(hand.NoteWords))
	case m.message == hand.NoteWords && (!hand.Unnoted(v) || hand.Troubled(v)): // there is something weightier to say
		m.message = ""
	}
	if v.Outcome != "" {
		return tea.Quit
	}
	if first {
		return tea.Batch(tea.SetWindowTitle("halfdrop: "+terminal.Clean(v.Name)), m.next(pause))
	}
	return m.next(pause)
}

// asksElse reports whether something else is asked of the person than before. The number of
// drops in a CHECK goes with each reading, and is no other question.
func asksElse(old, v view.View) bool {
	was, is := old.Advice, v.Advice
	return was.Do != is.Do || is.Do == coach.Check && was.Reason != is.Reason ||
		is.Do != coach.Check && (was.Drops != is.Drops || old.Titrant != v.Titrant)
}

// rings reports whether a change of the advice is worth a bell.
func rings(old, v view.View) bool {
	if v.Due() && !old.Due() {
		return true
	}
	switch v.Advice.Do {
	case coach.Stop, coach.Check:
		return v.Advice.Do != old.Advice.Do
	case coach.Add:
		return v.Advice.Do != old.Advice.Do && old.Falling == nil || v.Titrant != old.Titrant || v.Advice.Drops != old.Advice.Drops
	}
	return false
}

// keys handles a key message. Keys that come fast are joined in one message.
func (m *Model) keys(msg tea.KeyMsg) tea.Cmd {
	if msg.Paste && !m.mode.typing() {
		m.take(hand.Sorry("text cannot be pasted here; type it"))
		return nil
	}
	if msg.Type != tea.KeyRunes {
		return m.press(msg.String())
	}
	if msg.Alt {
		return nil
	}
	var cmds []tea.Cmd
	for _, r := range msg.Runes {
		if cmd := m.press(string(r)); cmd != nil {
			cmds = append(cmds, cmd)
		}
	}
	return tea.Sequence(cmds...)
}

func (m *Model) press(key string) tea.Cmd {
	switch m.mode {
	case remarking, bottling, noting, explaining, checking, marking:
		m.pressInLine(key)
		return nil
	case asking:
		return m.pressInQuestion(key)
	case helping:
		switch more := m.page+1 < keyrow.Pages(m.state().Help, m.w, m.h); {
		case key == "?" && more:
			m.page++
			return nil
		case key == "?" || key == "esc" || key == "enter": // the advice was not on the screen, so Enter records nothing
			m.mode = running
			return nil
		}
		m.mode = running
	case ending:
		if key == "ctrl+c" {
			return tea.Quit // a run that does not answer must not hold the terminal
		}
		return nil
	}
	if m.hand.Question != nil && key == "q" {
		open, a := m.hand.Quit()
		m.take(a)
		m.message = ""
		cmd := m.pressQuit(key)
		m.open = open
		return cmd
	}
	if m.hand.Question != nil {
		m.take(m.hand.Reply(key))
		if m.hand.Question == nil {
			m.hand.Closed(key)
		}
		return nil
	}
	m.message, m.wrong = "", false
	b, ok := keymap[key]
	if !ok {
		m.take(hand.Sorry("%s", terminal.Idle(key)))
		return nil
	}
	return b.act(m, key)
}

// take carries out an answer of the hand.
func (m *Model) take(a hand.Answer) {
	if a.Want != nil {
		if a.Want.ID == 0 {
			m.hand.Stamp(a.Want)
		}
		m.runner.Post(*a.Want)
	}
	if a.Words != nil {
		m.mode, m.line, m.reason = explaining, nil, a.Words
	}
	if a.Mark != nil {
		m.mode, m.line, m.reason = marking, nil, a.Mark
	}
	m.message, m.wrong = a.Say, a.Wrong
}

// patience is how long the run has to answer that it has ended.
const patience = 3 * time.Second

// View is the screen. It is drawn anew only after something has changed.
func (m *Model) View() string {
	if m.drawn == "" && m.w > 0 {
		m.drawn = screen.Coach(m.state(), m.w, m.h)
	}
	return m.drawn
}

func (m *Model) state() screen.State {
	st := screen.State{View: m.hand.View, Hand: m.hand.Screen(), Message: m.message, Wrong: m.wrong,
		Prompt: m.prompt(), Bell: m.bell, Keys: m.hints(), Set: m.set}
	st.Said, st.Refused = saying(m.said)
	if m.display != nil {
		st.Display, st.Warm = m.display()
	}
	if m.mode == helping {
		st.Help, st.Page = help(), m.page
	}
	return st
}

func (m *Model) prompt() string {
	switch m.mode {
	case remarking:
		return "remark: " + string(m.line) + "_"
	case noting:
		return m.asFor("on record", "Tris 3.029 g lot A17, or electrode E7")
	case explaining:
		return "why: " + string(m.line) + "_"
	case marking:
		return hand.MarkWords(m.hand.View) + ": " + string(m.line) + "_"
	case bottling:
		return m.asFor("bottle available", "NaOH 0.1 M, bottle B7")
	case checking:
		return m.hand.CheckPrompt() + string(m.line) + "_"
	case ending:
		return "closing the record " + m.set.Ellipsis
	case asking:
		return m.question()
	}
	if q := m.hand.Question; q != nil {
		return q.Words
	}
	return ""
}

// asFor is a line that is typed under its name, with an example until its first letter.
func (m *Model) asFor(name, example string) string {
	if len(m.line) == 0 {
		return name + ", as in " + example + ": _"
	}
	return name + ": " + string(m.line) + "_"
}

// saying is what the run has answered, what it refused first.
func saying(list []intent.Answer) (text string, refused bool) {
	var bad, good []string
	for _, a := range list {
		switch {
		case a.Asks: // it is a question now
		case a.Failed:
			bad = append(bad, a.Text)
		default:
			good = append(good, a.Text)
		}
	}
	return strings.Join(append(bad, good...), " · "), len(bad) > 0
}

func (m *Model) question() string {
	switch {
	case m.hand.Typed != "" || m.hand.Counting:
		return "What is typed or counted is not recorded! End the run? y or n"
	case m.hand.Unsaid() != "":
		return m.hand.Unsaid() + ". End the run? y or n"
	case m.open != "":
		return hand.Unrecorded(m.open) + ". End the run? y or n"
	case m.hand.View.Advice.Do == coach.Stop && m.hand.View.Found != nil:
		return "The answer is known. End the run? y or n"
	case m.hand.View.Advice.Do == coach.Stop:
		return "The aim is reached. End the run? y or n"
	case m.hand.View.Silent != "": // where the coach would stop is not given away
		return "End the run? y or n"
	case m.hand.View.Reached:
		return "The aim was reached and read. End the run? y or n"
	}
	if m.hand.View.Found != nil {
		return "End the run before its answer is known? y or n"
	}
	return "End the run before its aim? y or n"
}
