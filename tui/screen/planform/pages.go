package planform

import (
	"strings"
)

func (m *Form) openBuffers() {
	head, list, err := m.planner.Choose(m.Values())
	if err != nil {
		m.refused(err)
		return
	}
	m.head, m.choices, m.chosen, m.page = head, list, 0, buffersPage
	for i, c := range list {
		if strings.EqualFold(c.Name, m.Values()[m.Buffer]) {
			m.chosen = i
		}
	}
}

// refused says why a page cannot be opened: where a line is at fault the cursor goes to
// it, and the fault stands below the form anyhow.
func (m *Form) refused(err error) {
	for i, f := range m.fields {
		if m.faults[f.Key] != "" {
			m.focus(i)
			m.message = "first correct what is marked !"
			return
		}
	}
	m.message = err.Error()
}

func (m *Form) openSheet() {
	text, err := m.planner.Sheet(m.Values())
	if err != nil {
		m.refused(err)
		return
	}
	m.sheet, m.top, m.page = strings.TrimRight(text, "\n"), 0, sheetPage
	m.lay()
}

func (m *Form) onBuffers(key string) {
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
}

func (m *Form) onSheet(key string) {
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
		} else {
			m.kept = m.Values()
		}
	}
}
