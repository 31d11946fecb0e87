package main

import (
	"fmt"
	"io"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/phrase"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
)

// page lays out a plan: as text for a terminal or as Markdown for a notebook.
type page interface {
	title(text string) string
	head(text string) string
	para(text string) string
	bullets(list []string) string
	table(head []string, rows [][]string) string
	card(rows [][3]string) string
	steps(list []recipe.Step) string
}

// plainText is a page of at most so many columns.
type plainText struct{ width int }

func newPlainText(io.Writer) plainText { return plainText{width: 79} }

func (p plainText) title(text string) string {
	return text + "\n" + strings.Repeat("=", lipgloss.Width(text)) + "\n"
}
func (p plainText) head(text string) string {
	return "\n" + text + "\n" + strings.Repeat("-", lipgloss.Width(text)) + "\n"
}

func (p plainText) para(text string) string {
	return strings.Join(phrase.Wrap(text, p.width), "\n") + "\n"
}

// hanging is a text with a mark before its first line and an indent as wide
// before the others.
func (p plainText) hanging(indent int, mark, text string) string {
	var b strings.Builder
	pad := strings.Repeat(" ", indent)
	for i, line := range phrase.Wrap(text, p.width-indent-lipgloss.Width(mark)) {
		if i > 0 {
			mark = strings.Repeat(" ", lipgloss.Width(mark))
		}
		b.WriteString(pad + mark + line + "\n")
	}
	return b.String()
}

func (p plainText) bullets(list []string) string {
	var b strings.Builder
	for _, s := range list {
		b.WriteString(p.hanging(0, "- ", s))
	}
	return b.String()
}

func (p plainText) table(head []string, rows [][]string) string {
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
		if p.width > 0 {
			text = ansi.Truncate(text, p.width, "…")
		}
		b.WriteString(text + "\n")
	}
	return b.String()
}

// card is rows of what to do, how much, and of what; the amounts stand under each other.
func (p plainText) card(rows [][3]string) string {
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

func (p plainText) steps(list []recipe.Step) string {
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

// markdown is a page for a notebook.
type markdown struct{}

func (markdown) title(text string) string { return "# " + mark(text) + "\n\n" }
func (markdown) head(text string) string  { return "\n## " + mark(text) + "\n\n" }
func (markdown) para(text string) string  { return mark(text) + "\n\n" }

// mark keeps letters that Markdown would take for itself.
func mark(s string) string {
	return strings.NewReplacer("*", `\*`, "_", `\_`, "<", `\<`, "|", `\|`).Replace(s)
}

func (markdown) bullets(list []string) string {
	var b strings.Builder
	for _, s := range list {
		b.WriteString("- " + mark(s) + "\n")
	}
	return b.String()
}

func (markdown) table(head []string, rows [][]string) string {
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

func (m markdown) card(rows [][3]string) string {
	out := make([][]string, len(rows))
	for i, r := range rows {
		out[i] = r[:]
	}
	return m.table([]string{"", "amount", "of"}, out)
}

func (markdown) steps(list []recipe.Step) string {
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
