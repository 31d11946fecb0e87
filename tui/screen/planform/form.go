package planform

import (
	"maps"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/widget"
)

// Field is a line of the form of a plan.
type Field struct {
	Key   string // for programs
	Label string
	Unit  string
	Hint  string // what is wanted, shown while the line has the cursor
	Value string // at the start
	// Choices are gone through with ← and →; without them the value is typed.
	Choices []string
	Names   map[string]string // what is shown of the choices, where that is not the value
	Gap     bool              // an empty row before it
}

// Choice is a buffer to pick from.
type Choice struct {
	Name string
	Row  string   // in the list
	Why  []string // while it has the cursor
}

// Planner answers what stands in the form. Every call gets the values by key.
type Planner interface {
	// Look says what is wrong, by key, and in short what the plan would be.
	Look(values map[string]string) (faults map[string]string, lines []string)
	// Choose lists the buffers, with a head for the rows.
	Choose(values map[string]string) (head string, list []Choice, err error)
	// Sheet is the plan with its bench sheet.
	Sheet(values map[string]string) (string, error)
	// Save writes the plan file and says where.
	Save(values map[string]string) (string, error)
}

// planPage is what the form shows.
type planPage uint8

const (
	fieldsPage planPage = iota
	buffersPage
	sheetPage
)

// Form asks for a plan on a terminal. Buffer is the key of the field that
// picking a buffer fills in.
type Form struct {
	Buffer string
	// Beside has the planner asked beside the keys, which wait for nothing then.
	Beside bool

	planner Planner
	fields  []Field
	inputs  []textinput.Model
	at      int
	page    planPage
	w, h    int // of what is between the margins
	edge    int // columns of a margin
	help    bool
	set     *widget.Set
	fresh   bool // the next letter typed takes the place of the value

	faults  map[string]string
	lines   []string
	card    *Card
	message string
	due     bool              // values have changed since the planner was asked
	asking  bool              // it is at work
	leaving bool              // asks whether to leave what was entered
	kept    map[string]string // what was saved, or stood there at the start

	head    string
	choices []Choice
	chosen  int
	sheet   string
	text    []string // the sheet in the width of the screen
	top     int
}

// New is a form with its fields.
func New(p Planner, fields []Field, buffer string, set *widget.Set) *Form {
	m := &Form{Buffer: buffer, planner: p, fields: fields, w: 80, h: 24, set: set}
	for _, f := range fields {
		in := textinput.New()
		in.Prompt, in.Width, in.CharLimit = "", inputWidth-1, 200
		in.SetValue(f.Value)
		m.inputs = append(m.inputs, in)
	}
	m.focus(0)
	m.look()
	m.kept = m.Values()
	return m
}

// Values are what stands in the form, by key.
func (m *Form) Values() map[string]string {
	out := map[string]string{}
	for i, f := range m.fields {
		out[f.Key] = strings.TrimSpace(m.inputs[i].Value())
	}
	return out
}

// Init starts the cursor.
func (m *Form) Init() tea.Cmd { return textinput.Blink }

// Update takes a key, a new size or what the planner says.
func (m *Form) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	_, cmd := m.update(msg)
	if ask := m.asked(); ask != nil {
		cmd = tea.Batch(cmd, ask)
	}
	return m, cmd
}

func (m *Form) update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case looked:
		m.asking = false
		if !m.due {
			m.see(msg)
		}
		return m, nil
	case tea.WindowSizeMsg:
		m.edge = 0
		if msg.Width >= 72 {
			m.edge = 1
		}
		m.w, m.h = msg.Width-2*m.edge, msg.Height
		m.lay()
		m.look()
		return m, nil
	case tea.KeyMsg:
		if m.leaving {
			return m, m.onLeaving(msg.String())
		}
		if m.help && msg.String() != "ctrl+c" || msg.String() == "?" {
			m.help = !m.help // a key does nothing that is not on the screen
			return m, nil
		}
		m.message = ""
		if msg.String() == "ctrl+c" {
			m.help = false
			return m, m.leave()
		}
		switch m.page {
		case buffersPage:
			m.onBuffers(msg.String())
			return m, nil
		case sheetPage:
			m.onSheet(msg.String())
			return m, nil
		}
		return m, m.onFields(msg)
	}
	return m, m.typed(msg)
}

func (m *Form) onFields(msg tea.KeyMsg) tea.Cmd {
	switch msg.String() {
	case "esc":
		return m.leave()
	case "up", "shift+tab":
		m.focus(m.at - 1)
	case "down", "tab":
		m.focus(m.at + 1)
	case "enter":
		if m.at == len(m.fields)-1 {
			m.openSheet()
		}
		m.focus(min(m.at+1, len(m.fields)-1))
	case "ctrl+b", "f2":
		m.openBuffers()
	case "ctrl+s", "f3":
		m.openSheet()
	case "left", "right":
		if c := m.fields[m.at].Choices; len(c) > 0 {
			m.turn(c, msg.String() == "right")
			return nil
		}
		return m.typed(msg)
	case "ctrl+u":
		m.inputs[m.at].SetValue("")
		m.look()
	default:
		if len(m.fields[m.at].Choices) == 0 {
			return m.typed(msg)
		}
	}
	return nil
}

// typed hands a message to the line with the cursor.
func (m *Form) typed(msg tea.Msg) tea.Cmd {
	var cmd tea.Cmd
	before := m.inputs[m.at].Value()
	if key, ok := msg.(tea.KeyMsg); ok {
		if m.fresh && key.Type == tea.KeyRunes {
			m.inputs[m.at].SetValue("")
		}
		m.fresh = false
	}
	m.inputs[m.at], cmd = m.inputs[m.at].Update(msg)
	if m.inputs[m.at].Value() != before {
		m.look()
	}
	return cmd
}

func (m *Form) turn(choices []string, on bool) {
	now := 0
	for i, c := range choices {
		if c == m.inputs[m.at].Value() {
			now = i
		}
	}
	step := len(choices) - 1
	if on {
		step = 1
	}
	m.inputs[m.at].SetValue(choices[(now+step)%len(choices)])
	m.look()
}

func (m *Form) focus(i int) {
	m.inputs[m.at].Blur()
	m.at, m.fresh = (i+len(m.fields))%len(m.fields), true
	if len(m.fields[m.at].Choices) == 0 {
		m.inputs[m.at].Focus()
		m.inputs[m.at].CursorEnd()
	}
}

// looked is what the planner says of values.
type looked struct {
	faults map[string]string
	lines  []string
	card   *Card
}

// look asks the planner, at once or, where keys come meanwhile, beside them: then
// one question is on its way at a time, and what has changed since is asked next.
func (m *Form) look() {
	if !m.Beside {
		m.see(m.ask(m.Values(), m.beside()))
		return
	}
	m.due = true
}

func (m *Form) ask(values map[string]string, beside bool) looked {
	var l looked
	l.faults, l.lines = m.planner.Look(values)
	if c, ok := m.planner.(Carder); ok && beside {
		l.card = c.Card(values)
	}
	return l
}

func (m *Form) see(l looked) { m.faults, m.lines, m.card = l.faults, l.lines, l.card }

// asked is the command that asks what is due, if nothing is on its way.
func (m *Form) asked() tea.Cmd {
	if !m.due || m.asking {
		return nil
	}
	m.due, m.asking = false, true
	values, beside := m.Values(), m.beside()
	return func() tea.Msg { return m.ask(values, beside) }
}

// leave ends the form, after a question when that would lose what was entered.
func (m *Form) leave() tea.Cmd {
	if maps.Equal(m.Values(), m.kept) {
		return tea.Quit
	}
	m.leaving, m.message = true, "The plan has not been written. Leave the form? y or n"
	return nil
}

func (m *Form) onLeaving(key string) tea.Cmd {
	switch key {
	case "y", "Y", "ctrl+c":
		return tea.Quit
	case "n", "N", "esc", "enter":
		m.leaving, m.message = false, ""
	}
	return nil
}
