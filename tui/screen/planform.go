package screen

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"

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
	text    []string
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
	m.text, m.top, m.page = strings.Split(strings.TrimRight(text, "\n"), "\n"), 0, sheetPage
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

// Widths of the columns of the form.
const (
	labelWidth = 20
	inputWidth = 20
	unitWidth  = 7
)

// View draws the form.
func (m *PlanForm) View() string {
	if m.w < 40 || m.h < 10 {
		return widget.Fit("make the window larger: 80 × 24 is enough", max(m.w, 1), m.set)
	}
	var rows []string
	switch m.page {
	case buffersPage:
		rows = m.buffersView()
	case sheetPage:
		rows = m.sheetView()
	default:
		rows = m.fieldsView()
	}
	if len(rows) > m.h {
		rows = append(rows[:m.h-1], rows[len(rows)-1])
	}
	for len(rows) < m.h {
		rows = append(rows[:len(rows)-1], "", rows[len(rows)-1])
	}
	for i := range rows {
		rows[i] = widget.Fit(rows[i], m.w, m.set)
	}
	return strings.Join(rows, "\n")
}

func ink(i widget.Ink, s string) string { return styles[i].Render(s) }

func pad(s string, w int) string { return s + strings.Repeat(" ", max(w-lipgloss.Width(s), 0)) }

func (m *PlanForm) fieldsView() []string {
	rows := []string{ink(widget.Strong, "Plan a buffer") + ink(widget.Faint, "  what it is for, and what is at hand")}
	first, last := m.visible()
	for i, f := range m.fields[first:last] {
		if f.Gap && m.h >= 24 {
			rows = append(rows, "")
		}
		rows = append(rows, m.fieldRow(first+i, f))
	}
	left := m.h - len(rows) - 2
	rows = append(rows, ink(widget.Faint, strings.Repeat("─", m.w)))
	rows = append(rows, m.foot(left)...)
	return append(rows, ink(widget.Faint, widget.Fit("↑↓ line  ←→ choose  F2 list of buffers  F3 recipe and bench sheet  Esc leave", m.w, m.set)))
}

// visible are the fields that there is room for, the one with the cursor among
// them.
func (m *PlanForm) visible() (first, last int) {
	n := min(max(m.h-6, 1), len(m.fields))
	first = min(max(m.at-n/2, 0), len(m.fields)-n)
	return first, first + n
}

func (m *PlanForm) fieldRow(i int, f PlanField) string {
	mark, label := "  ", pad(widget.Fit(f.Label, labelWidth-1, m.set), labelWidth)
	value := pad(widget.Fit(m.inputs[i].Value(), inputWidth-1, m.set), inputWidth)
	if i == m.at {
		mark, label = "> ", ink(widget.Act, label)
		if len(f.Choices) > 0 {
			value = pad("‹ "+m.inputs[i].Value()+" ›", inputWidth)
		} else {
			value = pad(m.inputs[i].View(), inputWidth)
		}
	}
	rest := m.w - 2 - labelWidth - inputWidth - unitWidth - 2
	side := ""
	if fault := m.faults[f.Key]; fault != "" {
		side = ink(widget.Warn, widget.Fit("! "+fault, rest, m.set))
	} else if i == m.at {
		side = ink(widget.Faint, widget.Fit(f.Hint, rest, m.set))
	}
	return mark + label + value + pad(f.Unit, unitWidth) + "  " + side
}

// foot is what the plan would be, or what is wrong with the line in full.
func (m *PlanForm) foot(n int) []string {
	var out []string
	put := func(i widget.Ink, text string) {
		for _, line := range widget.Wrap(text, m.w, 3, m.set) {
			out = append(out, ink(i, line))
		}
	}
	if m.message != "" {
		put(widget.Warn, m.message)
	}
	for _, f := range m.fields {
		if fault := m.faults[f.Key]; fault != "" {
			put(widget.Warn, f.Label+": "+fault)
		}
	}
	for _, l := range m.lines {
		put(widget.Plain, l)
	}
	if len(out) > n {
		out = out[:max(n, 0)]
	}
	return out
}

func (m *PlanForm) buffersView() []string {
	rows := []string{ink(widget.Strong, "Buffers, best first"), ink(widget.Faint, widget.Fit("  "+m.head, m.w, m.set))}
	space := max(m.h-5, 3)
	list := min(max(space/2, 3), len(m.choices))
	first := max(min(m.chosen-list/2, len(m.choices)-list), 0)
	for i := first; i < first+list; i++ {
		if i == m.chosen {
			rows = append(rows, ink(widget.Act, widget.Fit("> "+m.choices[i].Row, m.w, m.set)))
		} else {
			rows = append(rows, widget.Fit("  "+m.choices[i].Row, m.w, m.set))
		}
	}
	rows = append(rows, ink(widget.Faint, strings.Repeat("─", m.w)))
	if m.chosen < len(m.choices) {
		for _, why := range m.choices[m.chosen].Why {
			rows = append(rows, widget.Wrap(why, m.w, 3, m.set)...)
		}
	}
	if len(rows) > m.h-1 {
		rows = rows[:m.h-1]
	}
	return append(rows, ink(widget.Faint, widget.Fit("↑↓ look  Enter take this one  Esc back", m.w, m.set)))
}

func (m *PlanForm) sheetView() []string {
	var rows []string
	n := max(m.h-3, 1)
	for _, line := range m.text[min(m.top, len(m.text)):min(m.top+n, len(m.text))] {
		rows = append(rows, widget.Fit(line, m.w, m.set))
	}
	for len(rows) < n {
		rows = append(rows, "")
	}
	rows = append(rows, ink(widget.Faint, strings.Repeat("─", m.w)))
	rows = append(rows, ink(widget.Strong, widget.Fit(m.message, m.w, m.set)))
	where := fmt.Sprintf("lines %d–%d of %d", m.top+1, min(m.top+n, len(m.text)), len(m.text))
	return append(rows, ink(widget.Faint, widget.Fit("↑↓ PgUp PgDn read  w write the plan file  Esc back to the form   "+where, m.w, m.set)))
}
