package screen

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/lipgloss"

	"example.org/halfdrop/tui/widget"
)

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
