// Package teach learns a meter with a person: it listens to the lines, asks what their
// columns are, on a screen or in lines of text, and keeps the answer.
package teach

import (
	"errors"
	"fmt"
	"strings"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
	"example.org/halfdrop/meter/learn"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/tui/led"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/terminal"
)

// Learner learns a meter with the person: it listens, asks what the columns are
// and keeps the answer.
type Learner struct {
	Name string
	Conf serial.Config
	Save func(name, text string) (path string, err error) // keeps the description
	Look terminal.Options

	lines   []learn.Line
	raw     []byte // the latest bytes while no line ends
	lesson  *learn.Lesson
	err     error // why there is no lesson
	at      int
	Kept    string // the file
	said    bool   // the person has said what a column is
	leaving bool   // the last key was to leave, and was asked about
	told    string // what went wrong with the last key
}

// Hear takes what came, to keep.
func (l *Learner) Hear(h serial.Heard) {
	if h.Line == nil {
		l.raw = h.Raw
		return
	}
	if l.full() {
		return
	}
	l.lines = append(l.lines, learn.Line{At: h.At, Text: h.Line})
	if l.full() {
		l.ask()
	}
}

func (l *Learner) full() bool { return len(l.lines) >= learn.Wanted }

// ask goes over from listening to asking.
func (l *Learner) ask() {
	if l.lesson, l.err = learn.New(l.lines); l.err != nil {
		return
	}
	l.lesson.Channel = l.Conf.Channel
	for i, c := range l.lesson.Columns { // the first that needs an answer
		if c.Role == "" && !l.lesson.Known {
			l.at = i
			break
		}
	}
}

// learnRoles are the roles by their keys.
var learnRoles = map[string]frame.Role{"p": frame.RolePH, "m": frame.RoleMV, "c": frame.RoleC, "f": frame.RoleF, "k": frame.RoleK,
	"n": frame.RoleChannel, "t": frame.RoleTime, "s": frame.RoleStatus, "i": frame.RoleIgnore}

// Press takes what the person pressed; true when that is the end.
func (l *Learner) Press(key string) (done bool, err error) {
	l.told = ""
	if key != led.LearnQuit {
		l.leaving = false
	}
	switch {
	case key == led.LearnQuit && l.said && !l.leaving:
		l.leaving, l.told = true, "nothing is kept yet: q once more leaves, any other key continues"
		return false, nil
	case key == led.LearnQuit, key == led.LearnStop:
		return true, &remedy.Error{Kind: remedy.Interrupted, Err: errors.New("nothing was kept")}
	case l.lesson == nil:
		if key == led.LearnKeep && len(l.lines) > 0 {
			l.ask()
		}
		return false, nil
	case key == led.LearnLeft:
		l.at = max(0, l.at-1)
	case key == led.LearnRight:
		l.at = min(len(l.lesson.Columns)-1, l.at+1)
	case key == led.LearnKeep:
		return l.keep()
	case learnRoles[key] != "":
		l.lesson.Say(l.at, learnRoles[key])
		l.said = true
	}
	return false, nil
}

// keep writes what was said, when it says enough.
func (l *Learner) keep() (done bool, err error) {
	out, err := l.lesson.Try(l.Name)
	if err != nil {
		l.told = phrase.Plain(err).Error()
		return false, nil
	}
	if out.Read == 0 {
		l.told = "not one line is read in this way: " + unprefixed(out.Err)
		return false, nil
	}
	if errors.Is(out.Err, frame.ErrChannels) {
		l.told = unprefixed(out.Err) + ": start again with --channel and the one in the beaker"
		return false, nil
	}
	spec := frame.Spec{Name: l.Name}
	if !l.lesson.Known {
		if spec, err = l.lesson.Spec(l.Name); err != nil {
			return false, err
		}
	}
	d, err := frame.NewDialect(spec)
	if err != nil {
		return false, err
	}
	c := l.Conf
	c.Dialect = d
	l.Kept, err = l.Save(l.Name, serial.WriteDialect(c))
	return true, err
}

// State is what the screen shows.
func (l *Learner) State() screen.Learn {
	st := screen.Learn{Title: "Learn the meter “" + l.Name + "”", At: l.at,
		Facts: fmt.Sprintf("%s · %s", l.Conf.Name, phrase.Counted(len(l.lines), "line"))}
	if l.lesson == nil {
		st.Mood, st.Sentence = screen.LetBe, fmt.Sprintf("LISTEN: %d of %d lines have come", len(l.lines), learn.Wanted)
		st.Why = "let the meter send as it normally does; Enter continues with fewer"
		switch {
		case l.err != nil:
			st.Mood, st.Sentence, st.Why = screen.LookAt, "CHECK what the meter sends: no line holds a number", "is it measuring, and is the speed right? --mode \"9600 8N1\" sets it; q leaves"
		case len(l.lines) == 0 && len(l.raw) > 0 && frame.Noise(l.raw) > 0.25:
			st.Mood, st.Why = screen.LookAt, "what arrives is not text: is the speed right? --mode \"9600 8N1\" sets it, --listen auto looks for it"
		case len(l.lines) == 0 && len(l.raw) > 0:
			st.Why = "bytes arrive, but no line has ended yet"
		}
		return st
	}
	for _, c := range l.lesson.Columns {
		st.Columns = append(st.Columns, l.column(c))
	}
	out, err := l.lesson.Try(l.Name)
	unsaid := l.unsaid()
	switch {
	case err != nil:
		st.Sentence = "SAY which column is the pH: go to it with ← and →, then press p (m for mV)"
		st.Why = "it has no name, and nothing is titrated on a guess"
		if missing := l.lesson.Missing(); strings.Contains(missing, "column ") && !strings.Contains(missing, "which") {
			st.Sentence, st.Why = strings.Replace(missing, "say", "SAY", 1), "n if it is a channel, i if it is something else"
		}
	default:
		st.Mood, st.Sentence = screen.AllSet, "KEEP it with Enter, or correct a column"
		if l.lesson.Known {
			st.Sentence, st.Why = "KEEP it with Enter: the lines say by themselves what their numbers are", "nothing has to be asked; a key corrects a column all the same"
		}
		st.Read = "read so: " + l.outcome(out)
		if unsaid > 0 {
			st.Why = fmt.Sprintf("%s not named: left out", were(unsaid))
		}
		if out.Warmth != "" {
			st.Mood, st.Why = screen.LookAt, "the temperature would not be used: "+out.Warmth
		}
		if out.Read*2 < out.Lines {
			st.Mood, st.Sentence = screen.LookAt, fmt.Sprintf("CHECK the columns: %d of %d lines are read in this way", out.Read, out.Lines)
			if out.Err != nil {
				st.Why = fmt.Sprintf("the others are not: %s; %s", unprefixed(out.Err), here(guard.Remedy(out.Err)))
			}
		}
	}
	if l.told != "" {
		st.Mood, st.Why = screen.LookAt, l.told
	}
	if n := len(l.lesson.Others); n > 0 && st.Why == "" {
		st.Why = fmt.Sprintf("%s of another kind came between and is passed over: %s", phrase.Counted(int64(n), "line"), phrase.Clip(l.lesson.Others[0], 40))
	}
	return st
}

// unprefixed is why a line is no reading, without saying that it is none.
func unprefixed(err error) string {
	return strings.TrimPrefix(err.Error(), meter.ErrNotReading.Error()+": ")
}

func were(n int) string {
	if n == 1 {
		return "one column was"
	}
	return fmt.Sprintf("%d columns were", n)
}

// unsaid is the number of columns of which nothing was said.
func (l *Learner) unsaid() (n int) {
	for _, c := range l.lesson.Columns {
		if c.Role == "" && !l.lesson.Known {
			n++
		}
	}
	return n
}

// column is a column of the screen.
func (l *Learner) column(c learn.Column) screen.LearnColumn {
	out := screen.LearnColumn{Is: string(c.Role), Asked: c.Role == "" && !l.lesson.Known, Sure: c.Named, Cells: c.Cells}
	var may []string
	for _, g := range c.Can {
		if g.Role == frame.RoleIgnore && !c.Named {
			out.Can = append(out.Can, g.Why)
			continue
		}
		may = append(may, string(g.Role)+"?")
		out.Can = append(out.Can, string(g.Role)+": "+g.Why)
	}
	for _, g := range c.Cannot {
		out.Not = append(out.Not, string(g.Role)+": "+g.Why)
	}
	if out.Asked {
		out.Is = strings.Join(may[:min(len(may), 3)], " ")
		if len(may) == 0 {
			out.Is = "?"
		}
	}
	return out
}

// outcome is how the lines are read, in words.
func (l *Learner) outcome(out learn.Outcome) string {
	words := fmt.Sprintf("%d of %d lines", out.Read, out.Lines)
	if out.Read > 0 {
		first := out.First
		if first.Flags &^= meter.Unnamed; first.Flags.Has(meter.NoTemp) {
			first.HasTemp, first.Flags = true, first.Flags&^meter.NoTemp // it was only waited for
		}
		words = meter.Words(first) + " (" + words + ")"
	}
	return words
}

// here is what to do about a line that is not read, where its meter is being learned: not to
// begin that.
func here(remedy string) string {
	if strings.Contains(remedy, "ports --learn") {
		return "say what the columns are"
	}
	return remedy
}
