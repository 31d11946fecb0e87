package tui

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/meter/run"
)

// PlainPractice is a practice run in lines of text: Plain, with the words ask,
// pause, faults and fault more.
func PlainPractice(ctx context.Context, r Runner, p Practice, in io.Reader, out io.Writer, o Options) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	s := &shy{Runner: r, p: p, views: make(chan run.View, 1)}
	fmt.Fprintln(out, p.hint())
	read, write := io.Pipe()
	defer read.Close()
	go s.listen(in, write, out)
	go s.forward(ctx)
	return Plain(ctx, s, read, out, o)
}

// hint names the words of a practice run.
func (p Practice) hint() string {
	text := "pause lets the time stand or go on"
	if p.Ask {
		text += "; ask asks the coach"
	}
	if len(p.Faults) > 0 {
		text += "; faults lists what may be wrong, fault 3 names the third of them"
	}
	return "Beside ?: " + text + "."
}

// shy is a run whose advice may be hidden.
type shy struct {
	Runner
	p     Practice
	views chan run.View

	mu    sync.Mutex
	real  run.View
	asked int
}

// Views are those of the run, as they may be seen.
func (s *shy) Views() <-chan run.View { return s.views }

// Post hands over what a person wants.
func (s *shy) Post(in run.Intent) {
	if in.Kind == run.WantEnd {
		s.mu.Lock()
		in.Text = Outcome(s.real)
		s.mu.Unlock()
	}
	s.Runner.Post(in)
}

func (s *shy) forward(ctx context.Context) {
	defer close(s.views)
	for v := range s.Runner.Views() {
		s.mu.Lock()
		s.real = v
		if s.p.hidden(s.asked == len(v.Entries)+1) {
			v = v.Hushed(s.p.silence())
		}
		s.mu.Unlock()
		select {
		case s.views <- v:
		case <-ctx.Done():
			return
		}
	}
}

// listen takes the words of the practice out of what is typed.
func (s *shy) listen(in io.Reader, pass *io.PipeWriter, out io.Writer) {
	defer pass.Close()
	for text := range readLines(in) {
		word, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
		switch word {
		case "ask":
			s.ask(out)
		case "pause":
			s.pause(out)
		case "faults":
			for i, f := range s.p.Faults {
				fmt.Fprintf(out, "%d %s\n", i+1, f.Text)
			}
		case "fault":
			s.name(rest, out)
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
	s.Runner.Post(run.Intent{Kind: run.WantRemark, Text: "the coach was asked", Code: s.p.Asked})
}

func (s *shy) pause(out io.Writer) {
	switch {
	case s.p.Pause == nil:
		fmt.Fprintln(out, "Time cannot be stopped here.")
	case s.p.Pause():
		fmt.Fprintln(out, "Time stands still; pause lets it go on.")
	default:
		fmt.Fprintln(out, "Time goes on.")
	}
}

func (s *shy) name(text string, out io.Writer) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 1 || n > len(s.p.Faults) {
		fmt.Fprintln(out, "Say which by its number; faults lists them.")
		return
	}
	in, over := s.p.Name(n - 1)
	s.Runner.Post(in)
	if over {
		s.Post(run.Intent{Kind: run.WantEnd})
	}
}
