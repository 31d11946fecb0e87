// Package sheet has a recipe in words: the card of what to weigh, the bench sheet,
// the choice of the buffer, the verdict on a recipe that exists, the pH of a mixture
// and the predicted curve, each for a terminal, a notebook or another program.
package sheet

import (
	"fmt"
	"strings"

	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/meter/phrase"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
)

// Page lays out a plan: as text for a terminal or as Markdown for a notebook.
type Page interface {
	title(text string) string
	head(text string) string
	para(text string) string
	bullets(list []string) string
	Table(head []string, rows [][]string) string
	card(rows [][3]string) string
	steps(list []prepare.Step) string
}

// Text is a page of at most so many columns.
type Text struct{ Width int }

// Plain is a page for a terminal of 80 columns.
var Plain = Text{Width: 79}

func (p Text) title(text string) string {
	return text + "\n" + strings.Repeat("=", lipgloss.Width(text)) + "\n"
}
func (p Text) head(text string) string {
	return "\n" + text + "\n" + strings.Repeat("-", lipgloss.Width(text)) + "\n"
}

func (p Text) para(text string) string {
	return strings.Join(phrase.Wrap(text, p.Width), "\n") + "\n"
}

// hanging is a text with a mark before its first line and an indent as wide
// before the others.
func (p Text) hanging(indent int, mark, text string) string {
	text = phrase.Minuses(text)
	var b strings.Builder
	pad := strings.Repeat(" ", indent)
	for i, line := range phrase.Wrap(text, p.Width-indent-lipgloss.Width(mark)) {
		if i > 0 {
			mark = strings.Repeat(" ", lipgloss.Width(mark))
		}
		b.WriteString(pad + mark + line + "\n")
	}
	return b.String()
}

func (p Text) bullets(list []string) string {
	var b strings.Builder
	for _, s := range list {
		b.WriteString(p.hanging(0, "- ", s))
	}
	return b.String()
}

// Table is a table in columns of blanks.
func (p Text) Table(head []string, rows [][]string) string {
	width := make([]int, len(head))
	for _, r := range append([][]string{head}, rows...) {
		for i, c := range r {
			width[i] = max(width[i], lipgloss.Width(c))
		}
	}
	var b strings.Builder
	for _, r := range append([][]string{head}, rows...) {
		var line strings.Builder
		for i, c := range r {
			gap := strings.Repeat(" ", width[i]-lipgloss.Width(c))
			if i == 0 || i == len(r)-1 {
				line.WriteString(c + gap + "  ")
			} else {
				line.WriteString(gap + c + "  ")
			}
		}
		text := strings.TrimRight(line.String(), " ")
		if p.Width > 0 {
			text = ansi.Truncate(text, p.Width, "…")
		}
		b.WriteString(text + "\n")
	}
	return b.String()
}

// card is rows of what to do, how much, and of what; the amounts stand under each other.
func (p Text) card(rows [][3]string) string {
	var wide [2]int
	for _, r := range rows {
		for i := range wide {
			wide[i] = max(wide[i], lipgloss.Width(r[i]))
		}
	}
	var b strings.Builder
	for _, r := range rows {
		pad := strings.Repeat(" ", wide[1]-lipgloss.Width(r[1]))
		b.WriteString(p.hanging(2, r[0]+strings.Repeat(" ", wide[0]-lipgloss.Width(r[0])+2)+pad+r[1]+"  ", r[2]))
	}
	return b.String()
}

func (p Text) steps(list []prepare.Step) string {
	var b strings.Builder
	for i, s := range list {
		b.WriteString(p.hanging(0, fmt.Sprintf("%2d. ", i+1), s.Text))
		for _, d := range s.Details {
			b.WriteString(p.hanging(4, "· ", d))
		}
		for _, c := range s.Cautions {
			b.WriteString(p.hanging(4, "! ", c))
		}
	}
	return b.String()
}

// Markdown is a page for a notebook.
type Markdown struct{}

func (Markdown) title(text string) string { return "# " + mark(text) + "\n\n" }
func (Markdown) head(text string) string  { return "\n## " + mark(text) + "\n\n" }
func (Markdown) para(text string) string  { return mark(text) + "\n\n" }

// mark keeps letters that Markdown would take for itself.
func mark(s string) string {
	return strings.NewReplacer("*", `\*`, "_", `\_`, "<", `\<`, "|", `\|`).Replace(s)
}

func (Markdown) bullets(list []string) string {
	var b strings.Builder
	for _, s := range list {
		b.WriteString("- " + mark(phrase.Minuses(s)) + "\n")
	}
	return b.String()
}

// Table is a table between bars.
func (Markdown) Table(head []string, rows [][]string) string {
	var b strings.Builder
	row := func(r []string) {
		b.WriteString("|")
		for _, c := range r {
			b.WriteString(" " + mark(c) + " |")
		}
		b.WriteString("\n")
	}
	row(head)
	b.WriteString(strings.Repeat("| --- ", len(head)) + "|\n")
	for _, r := range rows {
		row(r)
	}
	return b.String()
}

func (m Markdown) card(rows [][3]string) string {
	return m.Table([]string{"", "amount", "of"}, phrase.Each(rows, func(r [3]string) []string { return r[:] }))
}

func (Markdown) steps(list []prepare.Step) string {
	var b strings.Builder
	for i, s := range list {
		fmt.Fprintf(&b, "%d. [ ] %s\n", i+1, mark(s.Text))
		for _, d := range s.Details {
			b.WriteString("   - " + mark(d) + "\n")
		}
		for _, c := range s.Cautions {
			b.WriteString("   - **Caution:** " + mark(c) + "\n")
		}
	}
	return b.String()
}
