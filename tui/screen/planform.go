package screen

import (
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/widget"
)

// PlanField is a line of the form of a plan.
type PlanField struct {
	Key   string // for programs
	Label string
	Unit  string
	Hint  string // what is wanted, shown while the line has the cursor
	Value string // at the start
	// Choices are gone through with ← and →; without them the value is typed.
	Choices []string
	Gap     bool // an empty row before it
}

// PlanChoice is a buffer to pick from.
type PlanChoice struct {
	Name string
	Row  string   // in the list
	Why  []string // while it has the cursor
}

// Planner answers what stands in the form. Every call gets the values by key.
type Planner interface {
	// Look says what is wrong, by key, and in short what the plan would be.
	Look(values map[string]string) (faults map[string]string, lines []string)
	// Choose lists the buffers, with a head for the rows.
	Choose(values map[string]string) (head string, list []PlanChoice, err error)
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

// PlanForm asks for a plan on a terminal. Buffer is the key of the field that
// picking a buffer fills in.
type PlanForm struct {
	Buffer string

	planner Planner
	fields  []PlanField
	inputs  []textinput.Model
	at      int
	page    planPage
	w, h    int
	set     *widget.Set
	fresh   bool // the next letter typed takes the place of the value

	faults  map[string]string
	lines   []string
	message string

	head    string
	choices []PlanChoice
	chosen  int
	sheet   string
	text    []string // the sheet in the width of the screen
	top     int
}

// NewPlanForm is a form with its fields.
func NewPlanForm(p Planner, fields []PlanField, buffer string, set *widget.Set) *PlanForm {
	m := &PlanForm{Buffer: buffer, planner: p, fields: fields, w: 80, h: 24, set: set}
	for _, f := range fields {
		in := textinput.New()
		in.Prompt, in.Width, in.CharLimit = "", inputWidth-1, 200
		in.SetValue(f.Value)
		m.inputs = append(m.inputs, in)
	}
	m.focus(0)
	m.look()
	return m
}

// Values are what stands in the form, by key.
func (m *PlanForm) Values() map[string]string {
	out := map[string]string{}
	for i, f := range m.fields {
		out[f.Key] = strings.TrimSpace(m.inputs[i].Value())
	}
	return out
}

// Init starts the cursor.
func (m *PlanForm) Init() tea.Cmd { return textinput.Blink }

// Update takes a key or a new size.
func (m *PlanForm) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
		m.lay()
		return m, nil
	case tea.KeyMsg:
		if msg.String() == "ctrl+c" {
			return m, tea.Quit
		}
		m.message = ""
		switch m.page {
		case buffersPage:
			return m, m.onBuffers(msg.String())
		case sheetPage:
			return m, m.onSheet(msg.String())
		}
		return m, m.onFields(msg)
	}
	return m, m.typed(msg)
}

func (m *PlanForm) onFields(msg tea.KeyMsg) tea.Cmd {
	switch msg.String() {
	case "esc":
		return tea.Quit
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
func (m *PlanForm) typed(msg tea.Msg) tea.Cmd {
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

func (m *PlanForm) turn(choices []string, on bool) {
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

func (m *PlanForm) focus(i int) {
	m.inputs[m.at].Blur()
	m.at, m.fresh = (i+len(m.fields))%len(m.fields), true
	if len(m.fields[m.at].Choices) == 0 {
		m.inputs[m.at].Focus()
		m.inputs[m.at].CursorEnd()
	}
}

func (m *PlanForm) look() { m.faults, m.lines = m.planner.Look(m.Values()) }

func (m *PlanForm) openBuffers() {
	head, list, err := m.planner.Choose(m.Values())
	if err != nil {
		m.message = err.Error()
		return
	}
	m.head, m.choices, m.chosen, m.page = head, list, 0, buffersPage
	for i, c := range list {
		if strings.EqualFold(c.Name, m.Values()[m.Buffer]) {
			m.chosen = i
		}
	}
}

func (m *PlanForm) openSheet() {
	text, err := m.planner.Sheet(m.Values())
	if err != nil {
		m.message = err.Error()
		return
	}
	m.sheet, m.top, m.page = strings.TrimRight(text, "\n"), 0, sheetPage
	m.lay()
}

func (m *PlanForm) onBuffers(key string) tea.Cmd {
	switch key {
	case "esc", "q":
		m.page = fieldsPage
	case "up", "k":
		m.chosen = max(m.chosen-1, 0)
	case "down", "j":
		m.chosen = min(m.chosen+1, len(m.choices)-1)
	case "enter":
		for i, f := range m.fields {
			if f.Key == m.Buffer && m.chosen < len(m.choices) {
				m.inputs[i].SetValue(m.choices[m.chosen].Name)
			}
		}
		m.page = fieldsPage
		m.look()
	}
	return nil
}

func (m *PlanForm) onSheet(key string) tea.Cmd {
	rows := max(m.h-3, 1)
	most := max(len(m.text)-rows, 0)
	switch key {
	case "esc", "q":
		m.page = fieldsPage
	case "up", "k":
		m.top = max(m.top-1, 0)
	case "down", "j", "enter":
		m.top = min(m.top+1, most)
	case "pgup", "b":
		m.top = max(m.top-rows+1, 0)
	case "pgdown", " ":
		m.top = min(m.top+rows-1, most)
	case "home", "g":
		m.top = 0
	case "end", "G":
		m.top = most
	case "w":
		where, err := m.planner.Save(m.Values())
		if m.message = where; err != nil {
			m.message = err.Error()
		}
	}
	return nil
}
