package past

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.org/halfdrop/meter/foreign"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/playback"
	"example.org/halfdrop/tui/terminal"
)

// readLog reads the log of another program as the flags say.
func (p *Asked) readLog(path string, o foreign.LogOptions) (*foreign.Log, error) {
	f, err := intake.Open(path, textfile.MaxLog)
	if err != nil {
		return nil, textfile.Refused(err)
	}
	defer f.Close()
	l, err := foreign.ReadLog(f, o)
	var q *foreign.Question
	if err != nil && !errors.As(err, &q) {
		none := errors.Is(err, foreign.ErrNoTable)
		if err = fmt.Errorf("%s: %s", path, strings.TrimPrefix(err.Error(), "foreign: ")); none {
			err = remedy.With(err, "it takes two columns or more, one of them pH or mV, and three rows of figures, such as those below a line time_s,ph,volume_ml")
		}
	}
	return l, err
}

// options are what the flags say of a log.
func (p *Asked) options() foreign.LogOptions {
	o := p.Log
	o.Column, o.Volume = map[string]string{}, foreign.VolumeKind(p.Volume)
	if p.Said == nil || p.Said("drop-ul") { // else the lines above the table may say it
		o.DropML = p.DropUL * 1e-3
	}
	for q, c := range p.Columns {
		if *c != "" {
			o.Column[q] = *c
		}
	}
	return o
}

// table describes the log of another program; of several runs side by side each,
// unless one was asked for.
func (p *Asked) table(ctx context.Context, at Terminal, path string) error {
	done := at.reading(path)
	defer done()
	pages := func(c playback.LogChoice) (playback.LogPage, error) {
		defer done() // of the first one: the others stand on a screen
		return p.pages(path)(c)
	}
	switch p.stepping(at) {
	case onScreen:
		return playback.ReplayLog(ctx, pages, at.Look)
	case inLines:
		typed, err := playback.PlainReplayLog(ctx, pages, at.In, at.Out, at.Look)
		if err != nil || typed {
			return err
		}
	}
	o := p.options()
	l, err := p.readLog(path, o)
	var q *foreign.Question
	switch {
	case errors.As(err, &q):
		done()
		return asked(at.Talk, path, l, q)
	case err != nil:
		return err
	}
	out := at.Out
	if !p.JSON {
		out = terminal.Lines(out)
	}
	first, err := p.review(l)
	if err != nil {
		return err
	}
	list := []foreign.LogReview{first}
	for run := 2; o.Run == 0 && run <= l.Runs; run++ {
		o.Run = run
		next, err := p.readLog(path, o)
		if err != nil {
			return fmt.Errorf("run %d: %w", run, err)
		}
		one, err := p.review(next)
		if err != nil {
			return fmt.Errorf("run %d: %w", run, err)
		}
		list = append(list, one)
		o.Run = 0
	}
	done()
	if p.JSON {
		if len(list) == 1 {
			return textfile.JSON(out, list[0])
		}
		return textfile.JSON(out, struct {
			Runs []foreign.LogReview `json:"runs"`
		}{list})
	}
	for i := range list {
		if len(list) > 1 {
			fmt.Fprintf(out, "%srun %d of %d\n", strings.Repeat("\n", min(i, 1)), i+1, len(list))
		}
		if err := list[i].WriteText(intake.NewWriter(out)); err != nil {
			return err
		}
	}
	return nil
}

// asked is a question about a log that only a person can answer, with the rows it
// is about.
func asked(talk io.Writer, path string, l *foreign.Log, q *foreign.Question) error {
	fmt.Fprintf(talk, "%s, ", path)
	if err := l.WriteHow(intake.NewWriter(talk)); err != nil {
		return err
	}
	return &remedy.Error{Kind: remedy.Usage, Err: fmt.Errorf("%s: %s", path, strings.TrimPrefix(q.Error(), "foreign: ")), Hints: []string{q.Hint()}}
}

// pages reads a log for the screen, as the flags say and then the keys.
func (p *Asked) pages(path string) playback.LogReader {
	return func(c playback.LogChoice) (playback.LogPage, error) {
		o := p.options()
		for q, at := range c.Column {
			o.Column[q] = at
		}
		if c.Volume != "" {
			o.Volume = foreign.VolumeKind(c.Volume)
		}
		if c.Run > 0 {
			o.Run = c.Run
		}
		l, err := p.readLog(path, o)
		var q *foreign.Question
		if err != nil && (!errors.As(err, &q) || l == nil) {
			if c.Volume == "" && c.Run == 0 && len(c.Column) == 0 {
				return playback.LogPage{}, err // nothing is on the screen yet that would name the file
			}
			return playback.LogPage{}, errors.New(strings.TrimPrefix(err.Error(), path+": "))
		}
		return logPage(path, l, q, p.review)
	}
}
