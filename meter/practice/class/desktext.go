package class

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
)

// textWidth is the width of the texts of the desk, letters: that of a terminal of 80.
const textWidth = 78

// pupilWidth is the width of the names in the table, letters.
const pupilWidth = 20

// hang writes a text behind a lead, its further lines below its first.
func hang(w io.Writer, lead, text string) { io.WriteString(w, phrase.Beside(lead, text, textWidth)) }

// WriteText writes the table for a terminal: the runs of each exercise below its name, by
// the skills that it has in per cent, the middle of the class under them, and what half of
// it has missed.
func (c Class) WriteText(out io.Writer) error {
	w := bufio.NewWriter(out)
	medians := map[string]Median{}
	for _, m := range c.Medians() {
		medians[m.Exercise] = m
	}
	var flags []string
	for from, to := 0, 0; from < len(c.Rows); from = to {
		for to = from; to < len(c.Rows) && c.Rows[to].Exercise == c.Rows[from].Exercise; to++ {
		}
		c.exercise(w, c.Rows[from:to], medians[c.Rows[from].Exercise], &flags)
	}
	hang(w, "", fmt.Sprintf("%s; skills in per cent of their points; the median uses each pupil's best attempt", phrase.Counted(len(c.Rows), "run")))
	for i, f := range flags {
		hang(w, fmt.Sprintf("(%d) ", i+1), f)
	}
	if c.Others > 0 {
		fmt.Fprintf(w, "%d other journals in the folder are not practice runs\n", c.Others)
	}
	if gaps := c.Missed(); len(gaps) > 0 {
		fmt.Fprintln(w, "What at least half of those who did it missed:")
		for _, g := range gaps {
			hang(w, fmt.Sprintf("  %d of %d  ", g.Missed, g.Of), fmt.Sprintf("%s, %s: %s", g.Exercise, g.Item, cmp.Or(g.Keep, "no advice")))
		}
	}
	if err := w.Flush(); err != nil {
		return fmt.Errorf("class: %w", err)
	}
	return nil
}

// exercise writes the runs of one exercise.
func (c Class) exercise(w io.Writer, rows []Row, m Median, flags *[]string) {
	var skills []practice.Skill
	for _, k := range practice.Skills {
		for _, r := range rows {
			if s, ok := r.Skills[k]; ok && s.Of > 0 {
				skills = append(skills, k)
				break
			}
		}
	}
	line := func(who, try, points string, cell func(practice.Skill) string, rest string) {
		text := fmt.Sprintf("  %-*s %3s %6s", pupilWidth, phrase.Clip(who, pupilWidth), try, points)
		for _, k := range skills {
			text += fmt.Sprintf(" %*s", len(k.Short()), cell(k))
		}
		fmt.Fprintln(w, strings.TrimRight(text+" "+rest, " "))
	}
	name := cmp.Or(rows[0].Exercise, "no exercise")
	head := fmt.Sprintf("%-*s %3s %6s", pupilWidth+2, name, "try", "points")
	for _, k := range skills {
		head += " " + k.Short()
	}
	fmt.Fprintln(w, head)
	for _, r := range rows {
		mark := ""
		if len(r.Flags) > 0 {
			why := r.File + ": " + strings.Join(r.Flags, "; ")
			if r.Who() != r.File {
				why = r.Who() + ", " + why
			}
			*flags = append(*flags, why)
			mark = fmt.Sprintf("(%d)", len(*flags))
		}
		line(r.Who(), strconv.Itoa(r.Attempt), fmt.Sprintf("%.0f", r.Points), func(k practice.Skill) string { s, ok := r.Skills[k]; return part(s, ok) }, mark)
	}
	if m.Pupils > 1 {
		line("median of "+strconv.Itoa(m.Pupils), fmt.Sprintf("%.2g", m.Tries), fmt.Sprintf("%.0f", m.Points),
			func(k practice.Skill) string { s, ok := m.Skills[k]; return part(score.Share{Got: s, Of: 1}, ok) }, "")
	}
	fmt.Fprintln(w)
}
