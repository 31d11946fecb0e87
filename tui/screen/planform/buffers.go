package planform

import (
	"fmt"
	"strings"

	"example.org/halfdrop/tui/widget"
)

// buffersView is the list of buffers with the reasons for one of them: below it, or
// beside it where there is room.
func (m *Form) buffersView() []string {
	table := []string{m.head}
	for _, c := range m.choices {
		table = append(table, c.Row)
	}
	wide, beside := m.w, m.beside()
	switch closed := closer(table, wide-2); {
	case beside: // the words of the last column are among the reasons
		if table, wide = withoutLast(table), 4; len(table) > 0 {
			for _, row := range table {
				wide = max(wide, widget.Width(m.set.Text(row))+5)
			}
		}
	case widest(closed, m.set) > wide-2:
		fewer := withoutLast(table)
		if table = closer(fewer, wide-2); widest(table, m.set) > wide-2 { // the order says it, and the reasons
			table = closer(withoutLast(fewer), wide-2)
		}
	default:
		table = closed
	}
	rows := []string{widget.Text(widget.Strong, "Buffers, best first"), widget.Text(widget.Faint, widget.Fit("  "+table[0], wide, m.set))}
	list := m.h - 4
	if !beside {
		list = max((m.h-5)/2, 3)
	}
	list = min(list, len(m.choices))
	first := max(min(m.chosen-list/2, len(m.choices)-list), 0)
	for i := first; i < first+list; i++ {
		if i == m.chosen {
			rows = append(rows, widget.Text(widget.Act, widget.Fit(m.set.Act+" "+table[i+1], wide, m.set)))
		} else {
			rows = append(rows, widget.Fit("  "+table[i+1], wide, m.set))
		}
	}
	side, room := m.w, m.h-2-len(rows) // under the list and its rule
	if beside {
		side, room = m.w-wide, m.h-3
	}
	why := m.reasons(side)
	if len(why) > room && room > 0 {
		why = append(why[:room-1:room-1], widget.Fit(why[room-1]+" "+m.set.Ellipsis, side, m.set)) // there is more
	}
	where := m.rule("", fmt.Sprintf("%d of %d", m.chosen+1, len(m.choices)))
	if beside {
		for len(rows) < m.h-2 {
			rows = append(rows, "")
		}
		for i := range min(len(why), len(rows)-1) {
			rows[i+1] = pad(rows[i+1], wide) + why[i]
		}
		rows = append(rows[:m.h-2], where)
	} else {
		rows = append(append(rows, where), why...)
	}
	if len(rows) > m.h-1 {
		rows = rows[:m.h-1]
	}
	return append(rows, m.keys())
}

// widest is the width of the longest row.
func widest(table []string, set *widget.Set) (w int) {
	for _, row := range table {
		w = max(w, widget.Width(set.Text(row)))
	}
	return w
}

// reasons are those of the buffer that has the cursor, w columns wide.
func (m *Form) reasons(w int) (rows []string) {
	if m.chosen >= len(m.choices) {
		return nil
	}
	for _, why := range m.choices[m.chosen].Why {
		rows = append(rows, widget.Wrap(why, w, 4, m.set)...)
	}
	return rows
}

// withoutLast is a table without its last column: what stands after the last two
// blanks that stand abreast in every row.
func withoutLast(table []string) []string {
	cells := make([][]rune, len(table))
	for i, row := range table {
		cells[i] = []rune(row)
	}
	for at := len(cells[0]) - 2; at > 0; at-- {
		abreast := true
		for _, row := range cells {
			abreast = abreast && (at+1 >= len(row) || row[at] == ' ' && row[at+1] == ' ')
		}
		if !abreast {
			continue
		}
		out := make([]string, len(table))
		for i, row := range cells {
			out[i] = strings.TrimRight(string(row[:min(at, len(row))]), " ")
		}
		return out
	}
	return table
}

// closer is a table whose widest row is made to fit w by taking out blanks
// that stand two abreast in every row.
func closer(table []string, w int) []string {
	cells := make([][]rune, len(table))
	widest := 0
	for i, row := range table {
		cells[i] = []rune(row)
		widest = max(widest, len(cells[i]))
	}
	if widest <= w {
		return table
	}
	blank := func(at int) bool {
		for _, row := range cells {
			if at < len(row) && row[at] != ' ' {
				return false
			}
		}
		return true
	}
	out := make([]string, len(table))
	for at := range widest {
		if blank(at) && blank(at+1) {
			continue
		}
		for i, row := range cells {
			if at < len(row) {
				out[i] += string(row[at])
			}
		}
	}
	return out
}
