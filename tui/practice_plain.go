package tui

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/terminal"
	"example.org/halfdrop/tui/widget"
)

// PlainPractice is a practice run in lines of text: Plain, with the keys of the
// screen as words: a asks, f lists what may be wrong and names it, l lists the
// readings, p lets the time stand.
func PlainPractice(ctx context.Context, r Runner, p Practice, in io.Reader, out io.Writer, o terminal.Options) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	out = terminal.Lines(out)
	s := &shy{Runner: r, p: p, views: make(chan view.View), seen: make(chan struct{}), past: past{points: slices.Clone(p.Past)}}
	fmt.Fprintln(out, p.hint())
	read, write := io.Pipe()
	defer read.Close()
	go s.listen(in, write, out, cancel)
	go s.forward(ctx)
	return Plain(ctx, s, read, out, o)
}

// hint names the words of a practice run.
func (p Practice) hint() string {
	text := "p pauses time or lets it run; x leaves the run, to resume later; l lists the readings so far with the additions"
	if p.Ask {
		text += "; a asks the coach, and asking costs"
	}
	if len(p.Faults) > 0 {
		text += "; f lists what may be wrong; f 3 1:34" + p.wayWord() + " names the third and points at the reading at 1:34, f 3 +2" + p.wayWord() + " at the second addition"
	}
	return "Beside ?: " + text + "."
}

// wayWord is the word that says how a fault shows, in an example.
func (p Practice) wayWord() string {
	if len(p.Ways) == 0 {
		return ""
	}
	return " " + wayOf(p.Ways[0])
}

// wayOf is the first word of a way, by which it is said in a line.
func wayOf(row menu.Row) string {
	word, _, _ := strings.Cut(row.Text, " ")
	return word
}

// way takes the word that says how a fault shows from the end of what was typed; −1 without one.
func (p Practice) way(words []string) (int, []string) {
	if n := len(words); n > 0 {
		for i, row := range p.Ways {
			if w := strings.ToLower(words[n-1]); len(w) > 0 && w[0] >= 'a' && strings.HasPrefix(wayOf(row), w) {
				return i, words[:n-1]
			}
		}
	}
	return -1, words
}

// shy is a run whose advice may be hidden.
type shy struct {
	Runner
	p     Practice
	views chan view.View
	seen  chan struct{} // closed when the first view was taken

	mu    sync.Mutex
	real  view.View
	past  past
	asked int
}

// Views are those of the run, as they may be seen.
func (s *shy) Views() <-chan view.View { return s.views }

// Post hands over what a person wants.
func (s *shy) Post(in intent.Intent) {
	if in.Kind == intent.End {
		s.mu.Lock()
		in.Text = outcome(s.real)
		s.mu.Unlock()
	}
	s.Runner.Post(in)
}

func (s *shy) forward(ctx context.Context) {
	first := true
	defer func() {
		close(s.views)
		if first {
			close(s.seen)
		}
	}()
	for v := range s.Runner.Views() {
		s.mu.Lock()
		s.real = v
		s.past.see(v)
		if s.p.hidden(s.asked == len(v.Entries)+1) {
			v = v.Hushed(strings.TrimSuffix(s.p.silence(), ".")) // which is put at its end
		}
		s.mu.Unlock()
		select {
		case s.views <- v:
			if first {
				first = false
				close(s.seen)
			}
		case <-ctx.Done():
			return
		}
	}
}

// listen takes the words of the practice out of what is typed.
func (s *shy) listen(in io.Reader, pass *io.PipeWriter, out io.Writer, leave func()) {
	defer pass.Close()
	<-s.seen // what is typed before is about nothing
	for text := range intake.Lines(context.Background(), in) {
		word, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
		switch word {
		case "ask", "a":
			s.ask(out)
		case "pause", "p":
			s.pause(out)
		case "l":
			s.list(out)
		case "x":
			leave()
			return
		case "f", "fault", "faults":
			s.fault(strings.Fields(rest), out)
		default:
			if _, err := io.WriteString(pass, text+"\n"); err != nil {
				return
			}
		}
	}
}

func (s *shy) ask(out io.Writer) {
	if !s.p.Silent || !s.p.Ask {
		fmt.Fprintln(out, "The coach cannot be asked here.")
		return
	}
	s.mu.Lock()
	s.asked = len(s.real.Entries) + 1
	s.mu.Unlock()
	s.Runner.Post(intent.Intent{Kind: intent.Remark, Text: "the coach was asked", Code: s.p.Asked})
}

func (s *shy) pause(out io.Writer) {
	switch {
	case s.p.Pause == nil:
		fmt.Fprintln(out, "Time cannot be stopped here.")
	case s.p.Pause():
		fmt.Fprintln(out, "Time is paused; pause lets it run.")
	default:
		fmt.Fprintln(out, "Time runs.")
	}
}

// tellWays says how a fault can show.
func (s *shy) tellWays(out io.Writer) {
	if len(s.p.Ways) == 0 {
		return
	}
	var words []string
	for _, row := range s.p.Ways {
		words = append(words, row.Text)
	}
	fmt.Fprintf(out, "Say at the end how it shows there: %s. As in f 3 1:34%s.\n", strings.Join(words, "; "), s.p.wayWord())
}

// fault lists what may be wrong, or names it with what shows it.
func (s *shy) fault(words []string, out io.Writer) {
	if len(s.p.Faults) == 0 {
		fmt.Fprintln(out, "There is no fault to name in this exercise.")
		return
	}
	if len(words) == 0 {
		for i, f := range s.p.Faults {
			fmt.Fprintf(out, "%d %s. %s\n", i+1, f.Text, f.About)
		}
		fmt.Fprintf(out, "f 3 1:34%[1]s names the third by the reading at 1:34, f 3 +2%[1]s by the second addition; l lists both. A name without evidence earns little, a wrong one costs.\n", s.p.wayWord())
		s.tellWays(out)
		return
	}
	n, err := strconv.Atoi(words[0])
	if err != nil || n < 1 || n > len(s.p.Faults) {
		fmt.Fprintln(out, "Say which by its number; f lists them.")
		return
	}
	way, words := s.p.way(words[1:])
	s.mu.Lock()
	at, addition, ok := evidence(strings.Join(words, ""), s.real)
	s.mu.Unlock()
	if !ok {
		fmt.Fprintln(out, "Point at a time, such as 1:34, or an addition, such as +2; l lists both.")
		return
	}
	if way < 0 && len(s.p.Ways) > 0 && !math.IsNaN(at) {
		s.tellWays(out)
		return
	}
	in, over := s.p.Name(n-1, Evidence{at, addition, way})
	s.Runner.Post(in)
	if over {
		s.Post(intent.Intent{Kind: intent.End})
	}
}

// plainRows is about how many readings a list has.
const plainRows = 40

// list prints the readings so far, thinned out, with the additions between them.
func (s *shy) list(out io.Writer) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.past.points) == 0 {
		fmt.Fprintln(out, "Nothing has been read yet.")
		return
	}
	t := s.past.trace(s.real)
	step := max(1, len(t.Points)/plainRows)
	given := func(until float64) {
		for ; len(t.Doses) > 0 && t.Doses[0].T <= until; t.Doses = t.Doses[1:] {
			fmt.Fprintf(out, "%s  addition %d: %s\n", phrase.Watch(t.Doses[0].T), t.Doses[0].N, t.Doses[0].Text)
		}
	}
	for i, p := range t.Points {
		given(p.T)
		if i%step == 0 || i == len(t.Points)-1 {
			fmt.Fprintf(out, "%s  pH %s\n", phrase.Watch(p.T), widget.Number(p.PH, t.Decimals))
		}
	}
	given(math.Inf(1))
}
