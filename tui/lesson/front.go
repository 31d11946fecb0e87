package lesson

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/dip"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/pick"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/screen/task"
	"example.org/halfdrop/tui/terminal"
)

// screenFront does an exercise on the whole screen.
type screenFront struct {
	title string
	look  terminal.Options
}

func (f *screenFront) standards(ctx context.Context, lists [][]string) (int, error) {
	m := menu.Menu{Title: f.title, Facts: "which standards?", Keys: keyrow.Menu("take these")}
	for i, list := range lists {
		m.Rows = append(m.Rows, menu.Row{Left: strconv.Itoa(i + 1), Text: strings.Join(list, " and "),
			About: "The meter sends millivolts: without a calibration they mean nothing. The standards are read one after the other; think about where the aim lies."})
	}
	n, ok, err := pick.Choose(ctx, m, nil, f.look)
	if err == nil && !ok {
		err = errLeft
	}
	return n, err
}

func (f *screenFront) dip(ctx context.Context, r *dip.Rig) error {
	r.Out, r.Talk = io.Discard, io.Discard
	return r.LeadOnScreen(ctx, f.title, f.look)
}

func (f *screenFront) told(ctx context.Context, c calib.Calibration) error {
	t := task.Task{Title: f.title, Facts: "the calibration", Story: phrase.UpperFirst(c.Summary()) + ".",
		Keys: []keyrow.Key{{Name: "Enter", Short: "continue"}, keyrow.More, {Name: "q", Short: "leave"}}}
	for _, x := range c.Findings {
		t.Bench = append(t.Bench, string(x.Level)+": "+x.Text)
	}
	t.Goal = "The electrode goes back into the beaker, rinsed and blotted."
	if !c.Usable() {
		t.Goal = "This calibration cannot be used: once more."
	}
	key, err := pick.Tell(ctx, t, nil, f.look)
	if err == nil && key == "" {
		err = errLeft
	}
	return err
}

func (f *screenFront) run(ctx context.Context, r tui.Runner, p tui.Practice) error {
	return tui.RunPractice(ctx, r, p, f.look)
}

// lineFront does an exercise in lines of text.
type lineFront struct {
	Terminal
	look  terminal.Options
	lines <-chan string
}

// next is the next line that is typed.
func (f *lineFront) next(ctx context.Context) (string, error) {
	if f.lines == nil {
		f.lines = intake.Lines(context.Background(), f.In)
	}
	select {
	case text, open := <-f.lines:
		if !open {
			return "", errLeft
		}
		return strings.TrimSpace(text), nil
	case <-ctx.Done():
		return "", ctx.Err()
	}
}

func (f *lineFront) standards(ctx context.Context, lists [][]string) (int, error) {
	fmt.Fprintln(f.Out, "The meter sends millivolts and needs a calibration. Which standards?")
	for i, list := range lists {
		fmt.Fprintf(f.Out, "%d %s\n", i+1, strings.Join(list, " and "))
	}
	for {
		text, err := f.next(ctx)
		if err != nil {
			return 0, err
		}
		if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(lists) {
			return n - 1, nil
		}
		fmt.Fprintf(f.Out, "Type a number from 1 to %d.\n", len(lists))
	}
}

func (f *lineFront) dip(ctx context.Context, r *dip.Rig) error {
	r.Out, r.Talk = f.Out, f.Talk
	return r.Lead(ctx, f.lines)
}

func (f *lineFront) told(_ context.Context, c calib.Calibration) error {
	dip.ShowResult(f.Out, c)
	return nil
}

// run hands what is typed from now on to the run.
func (f *lineFront) run(ctx context.Context, r tui.Runner, p tui.Practice) error {
	in := f.In
	if f.lines != nil {
		read, write := io.Pipe()
		go func() {
			defer write.Close()
			for text := range f.lines {
				if _, err := io.WriteString(write, text+"\n"); err != nil {
					return
				}
			}
		}()
		in = read
	}
	return tui.PlainPractice(ctx, r, p, in, f.Out, f.look)
}
