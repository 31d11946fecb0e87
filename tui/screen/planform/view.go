package planform

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// Widths of the columns of the form.
const (
	labelWidth = 19
	inputWidth = 20
	unitWidth  = 6
)

// View draws the form.
func (m *Form) View() string {
	if m.w < 40 || m.h < 10 {
		return widget.Fit("make the window larger: 80 × 24 is enough", max(m.w, 1), m.set)
	}
	if m.help {
		return keyrow.Page(m.title(), m.allKeys(), m.set, m.w+2*m.edge, m.h)
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
		if !strings.HasPrefix(rows[i], across) {
			rows[i] = widget.Fit(rows[i], m.w, m.set)
		}
	}
	if m.page == fieldsPage && m.card != nil {
		rows = m.cardBeside(rows)
	}
	for i, row := range rows {
		if line, ok := strings.CutPrefix(row, across); ok {
			rows[i] = line
		} else if row != "" {
			rows[i] = strings.Repeat(" ", m.edge) + row
		}
	}
	return strings.Join(rows, "\n")
}

// across marks a row that goes from one side of the screen to the other.
const across = "\x00"

func pad(s string, w int) string { return s + strings.Repeat(" ", max(w-lipgloss.Width(s), 0)) }

func (m *Form) fieldsView() []string {
	var rows []string
	if m.h >= len(m.fields)+6 {
		rows = append(rows, widget.Text(widget.Strong, "Plan a buffer")+widget.Text(widget.Faint, "  what it is for, what is available"))
	}
	first, last := m.visible()
	for i, f := range m.fields[first:last] {
		if f.Gap && m.h >= 24 {
			rows = append(rows, "")
		}
		rows = append(rows, m.fieldRow(first+i, f))
	}
	left := m.h - len(rows) - 2
	hint := ""
	if now := m.fields[m.at].Hint; widget.Width(m.set.Text(now)) > m.side() {
		hint = now // no room for it in its row
	}
	more := "" // what is above and below is not to be forgotten
	if last-first < len(m.fields) {
		more = fmt.Sprintf("lines %d–%d of %d", first+1, last, len(m.fields))
	}
	if widget.Width(hint+more)+10 > m.w {
		more = ""
	}
	rows = append(rows, m.rule(hint, more))
	rows = append(rows, m.foot(left)...)
	return append(rows, m.keys())
}

// rule is a line across, with words let into it.
func (m *Form) rule(left, right string) string {
	line := strings.Repeat("─", 2)
	if left != "" {
		line += " " + left + " "
	}
	if right != "" {
		right = " " + right + " ──"
	}
	w := m.w + 2*m.edge
	blank := w - widget.Width(m.set.Text(line)) - widget.Width(m.set.Text(right))
	return across + widget.Text(widget.Faint, widget.Fit(line+strings.Repeat("─", max(blank, 0))+right, w, m.set))
}

// visible are the fields that there is room for, the one with the cursor among
// them.
func (m *Form) visible() (first, last int) {
	n := min(max(m.h-5, 1), len(m.fields))
	first = min(max(m.at-n/2, 0), len(m.fields)-n)
	return first, first + n
}

// side is the width of what stands beside a value.
func (m *Form) side() int { return m.formWidth() - 2 - labelWidth - inputWidth - unitWidth - 2 }

func (m *Form) fieldRow(i int, f Field) string {
	mark, label := "  ", pad(widget.Fit(f.Label, labelWidth-1, m.set), labelWidth)
	value := pad(widget.Fit(m.named(i), inputWidth-1, m.set), inputWidth)
	if i == m.at {
		mark, label = widget.Text(widget.Act, m.set.Act)+" ", widget.Text(widget.Act, label)
		if len(f.Choices) > 0 {
			value = pad(m.set.Text("‹ "+m.named(i)+" ›"), inputWidth)
		} else {
			value = pad(m.typing(i), inputWidth)
		}
	}
	side := ""
	if fault := m.faults[f.Key]; fault != "" {
		wordings := []string{"! " + fault}
		if m.side() < fewWords { // a few letters of it say nothing
			wordings = append(wordings, "! below")
		}
		side = widget.Text(widget.Warn, widget.FirstFit(m.side(), m.set, wordings...))
	} else if i == m.at && widget.Width(m.set.Text(f.Hint)) <= m.side() {
		side = widget.Text(widget.Faint, m.set.Text(f.Hint))
	}
	return mark + label + value + pad(m.set.Text(f.Unit), unitWidth) + "  " + side
}

// typing is the line with the cursor. The one of the library is a colour, which a terminal
// without colours does not show: there it is the sign that every other screen types at.
func (m *Form) typing(i int) string {
	in := m.inputs[i]
	if lipgloss.ColorProfile() != termenv.Ascii {
		return in.View()
	}
	text := []rune(in.Value())
	at := min(in.Position(), len(text))
	return widget.Fit(widget.FitEnd(string(text[:at])+"_", inputWidth-1, m.set)+string(text[at:]), inputWidth-1, m.set)
}

// fewWords is the width below which a fault is not begun beside its line, columns.
const fewWords = 20

// named is a value as it is shown.
func (m *Form) named(i int) string {
	v := m.inputs[i].Value()
	if name := m.fields[i].Names[v]; name != "" {
		return name
	}
	return v
}

// terse are the figures of a buffer in fewer letters, as its list has them.
var terse = strings.NewReplacer("capacity ", "", " per °C", "/°C", "ionic strength", "I", ", pKa′", " pKa′")

// foot is what the plan would be, or what is wrong with the line in full.
func (m *Form) foot(n int) []string {
	var out []string
	put := func(i widget.Ink, text string) {
		rows := min(3, n-len(out))
		if len(widget.Wrap(text, m.w, rows+1, m.set)) > rows {
			text = terse.Replace(text) // values go before words
		}
		for _, line := range widget.Wrap(text, m.w, rows, m.set) {
			out = append(out, widget.Text(i, line))
		}
	}
	if m.message != "" {
		put(widget.Warn, m.message)
	}
	if m.leaving {
		return out // one question at a time
	}
	for _, f := range m.fields {
		if fault := m.faults[f.Key]; fault != "" {
			put(widget.Warn, f.Label+": "+fault)
		}
	}
	if m.card != nil {
		return out // it stands beside the form
	}
	for _, l := range m.lines {
		put(widget.Plain, l)
	}
	return out
}

// lay breaks the sheet to the width of the screen. Where all of it fits it
// stays as it is; else what was broken before is put together first. A row of a
// table stays one.
func (m *Form) lay() {
	lines := strings.Split(m.sheet, "\n")
	if slices.ContainsFunc(lines, func(l string) bool { return widget.Width(m.set.Text(l)) > m.w }) {
		lines = joined(lines)
	}
	m.text = nil
	for _, line := range lines {
		words := strings.TrimLeft(line, " ")
		if widget.Width(m.set.Text(line)) <= m.w || strings.Contains(words, "   ") {
			m.text = append(m.text, line)
			continue
		}
		in, hang := line[:len(line)-len(words)], hanging(words)
		for i, part := range widget.Wrap(words, m.w-len(in)-len(hang), len(words), m.set) {
			if i > 0 {
				part = hang + part
			}
			m.text = append(m.text, in+part)
		}
	}
	m.top = min(m.top, max(len(m.text)-max(m.h-3, 1), 0))
}

// hanging is what goes before the second line of an item: as many blanks as its
// sign or number has letters, none before other words.
func hanging(words string) string {
	sign, _, more := strings.Cut(words, " ")
	number, step := strings.CutSuffix(sign, ".")
	_, err := strconv.Atoi(number)
	if !more || (!step || err != nil) && sign != "-" && sign != "·" && sign != "!" {
		return ""
	}
	return strings.Repeat(" ", len([]rune(sign))+1)
}

// joined puts the lines of an item together.
func joined(lines []string) []string {
	var out []string
	next := "" // what a further line of the item begins with
	for _, line := range lines {
		words := strings.TrimLeft(line, " ")
		in, hang := line[:len(line)-len(words)], hanging(words)
		if next != "" && in == next && hang == "" && words != "" {
			out[len(out)-1] += " " + words
			continue
		}
		next = ""
		if hang != "" {
			next = in + hang
		}
		out = append(out, line)
	}
	return out
}

func (m *Form) sheetView() []string {
	var rows []string
	n := max(m.h-3, 1)
	for _, line := range m.text[min(m.top, len(m.text)):min(m.top+n, len(m.text))] {
		rows = append(rows, widget.Fit(line, m.w, m.set))
	}
	for len(rows) < n {
		rows = append(rows, "")
	}
	where := fmt.Sprintf("lines %d–%d of %d", m.top+1, min(m.top+n, len(m.text)), len(m.text))
	rows = append(rows, m.rule("", where))
	rows = append(rows, widget.Text(widget.Strong, widget.Fit(m.message, m.w, m.set)))
	return append(rows, m.keys())
}
