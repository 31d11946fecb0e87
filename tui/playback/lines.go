package playback

import (
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/terminal"
	"example.org/halfdrop/tui/widget"
)

// looking is what looking back in lines of text has in common: printing, and words that
// are typed.
type looking struct {
	out  io.Writer
	set  *widget.Set
	err  error
	help []string
}

func (l *looking) print(format string, a ...any) {
	if l.err == nil {
		_, l.err = fmt.Fprintln(l.out, l.set.Text(terminal.Clean(fmt.Sprintf(format, a...))))
	}
}

// listen hands over each line until q, the end of input or of ctx, and reports whether
// anything was typed.
func (l *looking) listen(ctx context.Context, in io.Reader, take func(word, rest string)) (typed bool, err error) {
	lines := intake.Lines(context.Background(), in)
	for l.err == nil {
		select {
		case <-ctx.Done():
			return typed, nil
		case text, ok := <-lines:
			if !ok {
				return typed, nil
			}
			typed = true
			word, rest, _ := strings.Cut(strings.ToLower(strings.TrimSpace(text)), " ")
			switch word {
			case "q":
				return typed, nil
			case "?":
				for _, h := range l.help {
					l.print("%s", h)
				}
			default:
				take(word, strings.TrimSpace(rest))
			}
		}
	}
	return typed, fmt.Errorf("tui: %w", l.err)
}

// replayLines are the words of a run that is looked back on.
var replayLines = []string{
	"Enter or n   to the next addition: what was advised, and what was done",
	"b            to the addition before",
	"o            to the next place where the run went past its aim",
	"90 or 1:30   to that time",
	"l            list the additions",
	"0 or end     to the beginning or the end",
	"q            leave; the journal is as it was",
}

// PlainReplay is Replay in lines of text. It reports whether anything was typed.
func PlainReplay(ctx context.Context, tape Tape, in io.Reader, out io.Writer, o terminal.Options) (bool, error) {
	l := &looking{out: terminal.Lines(out), set: o.Set(os.Getenv), help: replayLines}
	select {
	case <-tape.Ready():
	case <-ctx.Done():
		return false, nil
	}
	m := newReplay(tape, o)
	over := 0
	for _, s := range m.stops {
		if s.Story != "" {
			over++
		}
	}
	l.print("%s: %s, %s to stop at, %d of them past the aim. ? lists what can be typed.", m.view.Name, moment(tape.Seconds()), phrase.Counted(len(m.stops), "moment"), over)
	if a := m.view.Alarm; a != "" {
		l.print("ALARM: %s.", strings.TrimSuffix(a, "."))
	}
	m.tell(l)
	return l.listen(ctx, in, func(word, rest string) { m.line(l, word) })
}

// moment is a time of the run as the stories have it: 2:10.
func moment(t float64) string { return strings.TrimPrefix(phrase.Watch(t), "0") }

// line carries out one word.
func (m *replaying) line(l *looking, word string) {
	m.message = ""
	switch word {
	case "", "n":
		m.move("n")
	case "b", "p":
		m.move("p")
	case "o":
		m.move("o")
	case "end":
		m.move("end")
	case "l":
		for _, s := range m.stops {
			l.print("%s %s", moment(s.T), s.Done)
		}
		return
	default:
		t, ok := parseClock(word)
		if !ok {
			l.print("%q is not a word known here, nor a time such as 90, 1:30 or 1:02:03; ? lists what can be typed.", word)
			return
		}
		m.jump(t)
	}
	if m.message != "" {
		l.print("%s.", phrase.UpperFirst(m.message))
		return
	}
	m.tell(l)
}

// tell says what was to be seen at the moment, what was done and why it went too far.
func (m *replaying) tell(l *looking) {
	l.print("At %s: %s %s", moment(m.t), screen.Spoken(m.view), screen.Heading(m.view))
	i := slices.IndexFunc(m.stops, func(s Stop) bool { return s.T == m.t })
	for ; i >= 0 && i < len(m.stops) && m.stops[i].T == m.t; i++ {
		l.print("%s.", phrase.UpperFirst(m.stops[i].Done))
		if s := m.stops[i].Story; s != "" {
			l.print("Past the aim: %s.", strings.TrimSuffix(s, "."))
		}
	}
}

// logLines are the words of the log of another program.
var logLines = []string{
	"Enter or n       to the next reading; b to the one before",
	"12               to reading 12",
	"o                to the reading with which the aim was passed",
	"l                list the readings; f what the fit says; h how the log was read",
	"ph 2             column 2 is the pH; also volume, drops, time, mv, temp",
	"none 2           column 2 is none of it",
	"volume is each   what the volume counts: total, each (for each row) or left (in the burette)",
	"run 2            the second of several runs side by side",
	"q                leave; the file is as it was",
}

// PlainReplayLog is ReplayLog in lines of text. It reports whether anything was typed.
func PlainReplayLog(ctx context.Context, read LogReader, in io.Reader, out io.Writer, o terminal.Options) (bool, error) {
	m, err := newLogReplay(read, o)
	if err != nil {
		return false, err
	}
	l := &looking{out: terminal.Lines(out), set: o.Set(os.Getenv), help: logLines}
	m.how(l)
	m.at = -1 // before the first reading
	return l.listen(ctx, in, func(word, rest string) { m.line(l, word, rest) })
}

// how says how the log was read, and what is open.
func (m *logging) how(l *looking) {
	p := &m.page
	l.print("%s. %s.", p.Name, p.How)
	if words := volumeWords[m.choice.Volume]; m.choice.Volume != "" {
		l.print("%s.", phrase.UpperFirst(words))
	}
	for i, c := range p.Columns {
		first := []string{}
		for _, row := range p.Rows {
			if i < len(row) {
				first = append(first, row[i])
			}
		}
		l.print("Column %d, %q: %s%s. It begins %s.", i+1, c.Name, c.Use, map[bool]string{true: " (" + c.Why + ")"}[c.Why != ""], strings.Join(first, "; "))
	}
	if p.Question != "" {
		l.print("Open: %s %s ? lists what can be typed.", p.Question, p.ByWords)
		return
	}
	l.print("%s to step through. ? lists what can be typed.", phrase.Counted(len(p.Points), "point"))
}

// line carries out one line.
func (m *logging) line(l *looking, word, rest string) {
	m.message, m.wrong = "", false
	at := m.at
	switch n, err := strconv.Atoi(word); {
	case word == "h":
		m.how(l)
		return
	case word == "run":
		m.toRun(rest)
	case word == "none", m.isQuantity(word) && !strings.HasPrefix(rest, "is "):
		m.column(word, rest)
	case word == "volume":
		next := m.copied()
		next.Volume = strings.TrimSpace(strings.TrimPrefix(rest, "is "))
		if m.again(next); !m.wrong {
			m.message = "taken"
		}
	case m.page.Question != "":
		m.message = "first what is open: " + strings.TrimSpace(m.page.Question+" "+m.page.ByWords)
	case word == "f":
		for _, s := range m.page.Says {
			l.print("%s", s)
		}
		return
	case word == "l":
		for i, p := range m.page.Points {
			l.print("%d: %s", i+1, p.Words)
		}
		return
	case word == "o":
		m.overshoot() // where there is none, it says why
		at = m.page.Over - 1
	case word == "" || word == "n":
		at++
	case word == "b" || word == "p":
		at--
	case err == nil:
		at = n - 1
	default:
		m.message = fmt.Sprintf("%q is not a word known here; ? lists what can be typed", word)
	}
	switch n := len(m.page.Points); {
	case m.message == "taken":
		m.at = -1
		m.how(l)
	case m.message != "":
		l.print("%s.", phrase.UpperFirst(strings.TrimSuffix(m.message, ".")))
	case at < 0 || at >= n:
		l.print("There is no reading there: they are numbered from 1 to %d.", n)
	default:
		m.at = at
		l.print("Reading %d of %d: %s.", at+1, n, m.page.Points[at].Words)
	}
}

// isQuantity reports whether a word names what a column may hold.
func (m *logging) isQuantity(word string) bool {
	for _, q := range logUses {
		if q == word {
			return true
		}
	}
	return false
}

// column says what the column of a number is.
func (m *logging) column(word, number string) {
	n, err := strconv.Atoi(number)
	if err != nil || n < 1 || n > len(m.page.Columns) {
		m.message = fmt.Sprintf("%q needs the number of a column, from 1 to %d", word, len(m.page.Columns))
		return
	}
	if m.chosen = n - 1; word == "none" {
		m.none()
	} else {
		m.say(word)
	}
	if !m.wrong {
		m.message = "taken"
	}
}

// toRun goes to one of several runs side by side.
func (m *logging) toRun(number string) {
	n, err := strconv.Atoi(number)
	if err != nil || n < 1 || n > m.page.Runs {
		m.message = fmt.Sprintf("\"run\" needs the number of one; the log has %s", phrase.Counted(max(1, m.page.Runs), "run"))
		return
	}
	next := m.copied()
	if next.Run = n; m.page.Runs > 0 {
		m.again(next)
	}
	if !m.wrong {
		m.message = "taken"
	}
}
