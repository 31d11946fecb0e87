package teach

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"example.org/halfdrop/meter/learn"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/tui/led"
	"example.org/halfdrop/tui/screen"
)

// listenPatience is how long the learner waits for a line before it says that
// none comes, and looks for another terminator.
const listenPatience = 3 * time.Second

// onScreen learns on a screen.
func (l *Learner) onScreen(ctx context.Context) error {
	err := led.Learn(ctx, func(ctx context.Context, pressed <-chan string, show func(screen.Learn)) error {
		ctx, cancel := context.WithCancel(ctx)
		defer cancel()
		heard, broke := make(chan serial.Heard, 64), make(chan error, 1)
		go func() { broke <- l.tap(ctx, heard) }()
		return l.follow(ctx, pressed, heard, broke, func() { show(l.State()) })
	}, l.Look)
	if errors.Is(err, context.Canceled) {
		return nil
	}
	return err
}

// follow takes lines and keys until the person has ended it.
func (l *Learner) follow(ctx context.Context, keys <-chan string, heard <-chan serial.Heard, broke <-chan error, show func()) error {
	show()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case h := <-heard:
			l.Hear(h)
		case err := <-broke:
			broke = nil
			if l.lesson == nil && len(l.lines) > 0 {
				l.ask() // as much as came before the line broke
			}
			if l.lesson == nil {
				return serial.Hinted(err)
			}
		case key := <-keys:
			if done, err := l.Press(key); done || err != nil {
				return err
			}
		}
		show()
	}
}

// tap listens, and looks for another terminator when no line ends.
func (l *Learner) tap(ctx context.Context, heard chan<- serial.Heard) error {
	for {
		inner, cancel := context.WithCancel(ctx)
		lines, end := 0, ""
		var since time.Time
		err := serial.Tap(inner, l.Conf, func(h serial.Heard) {
			if since.IsZero() {
				since = h.At
			}
			if h.Line != nil {
				lines++
			} else if lines == 0 && h.At.Sub(since) > listenPatience && l.Conf.Terminator == "" {
				if end = learn.Terminator(h.Raw); end != "" {
					cancel()
				}
			}
			h.Line, h.Raw = bytes.Clone(h.Line), bytes.Clone(h.Raw)
			select {
			case heard <- h:
			case <-ctx.Done():
			}
		})
		cancel()
		if end == "" || ctx.Err() != nil {
			return endOf(l.Conf.Name, err, ctx.Err() != nil)
		}
		l.Conf.Terminator = end
	}
}

// endOf is why a port that was listened to says no more; nil when that was asked for.
func endOf(port string, err error, asked bool) error {
	switch {
	case asked:
		return err
	case err == nil:
		err = errors.New("the port has closed")
	case strings.Contains(err.Error(), port): // it says which
		return err
	}
	return remedy.With(fmt.Errorf("%s: %w", port, err), "nothing was kept: check cable, power and network, and learn it again")
}

// byLines learns by lines of text: where there is no screen, or none is wanted.
func (l *Learner) byLines(ctx context.Context, answers <-chan string, out io.Writer) error {
	inner, cancel := context.WithCancel(ctx)
	defer cancel()
	heard, broke := make(chan serial.Heard, 64), make(chan error, 1)
	go func() { broke <- l.tap(inner, heard) }()
	fmt.Fprintf(out, "listening on %s until %d lines have come\n", l.Conf.Name, learn.Wanted)
	for l.lesson == nil && l.err == nil {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case h := <-heard:
			l.Hear(h)
		case err := <-broke:
			broke <- err
			if len(l.lines) == 0 {
				return serial.Hinted(err)
			}
			for len(heard) > 0 {
				l.Hear(<-heard)
			}
			l.ask()
		}
	}
	cancel()
	closed(broke, heard)
	if l.err != nil {
		return remedy.With(errors.New("no line holds a number"), "is the meter measuring, and is the speed right? See --mode")
	}
	if err := l.questions(ctx, answers, out); err != nil {
		return err
	}
	st := l.State()
	if st.Read != "" {
		fmt.Fprintln(out, st.Read)
	}
	if done, err := l.keep(); done {
		return err
	}
	return remedy.With(errors.New(l.told), "start again, and say which column is the pH")
}

// closed waits until the port is closed, so that it can be opened again.
func closed(broke <-chan error, heard <-chan serial.Heard) {
	for {
		select {
		case <-broke:
			return
		case <-heard:
		}
	}
}

// questions asks about every column that nobody has named.
func (l *Learner) questions(ctx context.Context, answers <-chan string, out io.Writer) error {
	for i, c := range l.lesson.Columns {
		shown := l.column(c)
		n := min(5, len(c.Cells))
		fmt.Fprintf(out, "column %d: %s …\n", i+1, strings.Join(c.Cells[:n], ", "))
		verb := "may be"
		if shown.Sure {
			verb = "is"
		}
		for _, can := range shown.Can {
			fmt.Fprintf(out, "  %s %s\n", verb, can)
		}
		for _, not := range shown.Not {
			fmt.Fprintf(out, "  is no %s\n", not)
		}
		for c.Role == "" && !l.lesson.Known {
			fmt.Fprintf(out, "what is column %d? p pH, m mV, c °C, f °F, k K, n channel, t time, s status, i leave it out\n", i+1)
			select {
			case <-ctx.Done():
				return ctx.Err()
			case answer, open := <-answers:
				role := learnRoles[strings.ToLower(strings.TrimSpace(answer))]
				if !open {
					return remedy.With(errors.New("the columns have not been named"), "answer with a letter, or run this on a terminal")
				}
				if role == "" {
					continue
				}
				l.at = i
				l.lesson.Say(i, role)
			}
			break
		}
	}
	return nil
}
