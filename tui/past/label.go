package past

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
	"time"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/report"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/tui/terminal"
)

// Label is what was read of the finished solution; numbers that are not said are not
// a number.
type Label struct {
	PH, TempC float64
	By        string
}

// Make prints the label of a run, and records a reading of what was made up.
func (l *Label) Make(at Terminal, path string) error {
	if err := intake.Said("--by", l.By); err != nil {
		return err
	}
	done := at.reading(path)
	r, err := Open(path)
	done()
	if err != nil {
		return err
	}
	if f := report.NewFound(r); f != nil {
		if !math.IsNaN(l.PH) || !math.IsNaN(l.TempC) || l.By != "" {
			return remedy.Call(errors.New("the run determined an amount: there is no finished solution to read"), "leave --read, --temp and --by out")
		}
		return l.print(at, path, r, f.LabelLines())
	}
	rec := report.New(r)
	if math.IsNaN(l.PH) && rec.Finished == nil && rec.Ended && !r.Damaged() && terminal.Is(os.Stdin) && terminal.Is(os.Stdout) {
		if err := l.ask(at.In, at.Talk, rec); err != nil {
			return err
		}
	}
	if !math.IsNaN(l.PH) {
		if rec, err = l.record(path); err != nil {
			return err
		}
	} else if !math.IsNaN(l.TempC) || l.By != "" {
		return remedy.Call(errors.New("--temp and --by go with --read"), "say what was read: --read 7.41")
	}
	return l.print(at, path, r, rec.LabelLines())
}

func (l *Label) print(at Terminal, path string, r *replay.Run, lines []string) error {
	out := intake.NewWriter(terminal.Lines(at.Out))
	for _, line := range lines {
		if _, err := fmt.Fprintln(out, line); err != nil {
			return err
		}
	}
	return flawed(path, r.Flaw(), r.Damaged(), at.Talk)
}

// ask asks for the reading after making up.
func (l *Label) ask(in io.Reader, talk io.Writer, rec *report.Record) error {
	made := fmt.Sprintf("made up to %.4g mL and mixed", rec.FinalML)
	if rec.Unweighed { // which has no mark
		made = "mixed"
	}
	fmt.Fprintf(talk, "The solution, %s: what does the meter show, and at how\nmany °C? As in 7.41 21.5; Enter alone for not read yet: ", made)
	s := bufio.NewScanner(in)
	if !s.Scan() {
		return s.Err()
	}
	words := strings.Fields(strings.ReplaceAll(s.Text(), ",", "."))
	if len(words) > 2 {
		return remedy.Call(fmt.Errorf("%q is more than a pH and a temperature: nothing is recorded", strings.Join(words, " ")), "such as 7.41, or 7.41 21.5 with the temperature")
	}
	for i, to := range []*float64{&l.PH, &l.TempC} {
		if i >= len(words) {
			break
		}
		v, err := strconv.ParseFloat(words[i], 64)
		if err != nil {
			return remedy.Call(fmt.Errorf("%q is not a number: nothing is recorded", words[i]), "such as 7.41, or 7.41 21.5 with the temperature")
		}
		*to = v
	}
	return nil
}

// record puts the reading into the journal, and gathers the record anew.
func (l *Label) record(path string) (*report.Record, error) {
	m := journal.Making{PH: l.PH, By: l.By}
	switch {
	case !(l.PH >= 0 && l.PH <= 14):
		return nil, remedy.Call(fmt.Errorf("%g cannot be the pH of a solution", l.PH), "read the display again")
	case !math.IsNaN(l.TempC) && !(l.TempC >= -5 && l.TempC <= 100):
		return nil, remedy.Call(fmt.Errorf("%g °C cannot be the temperature of a solution", l.TempC))
	case !math.IsNaN(l.TempC):
		m.TempC = &l.TempC
	}
	var damage *journal.DamageError
	if _, err := keep.RecordMaking(path, m, time.Now(), journal.WithClock(time.Now)); errors.As(err, &damage) {
		return nil, &remedy.Error{Kind: remedy.Damaged, Err: err, Hints: []string{"nothing is written into a damaged journal; halfdrop check " + path + " names every fault"}}
	} else if err != nil {
		return nil, remedy.With(errors.New(strings.TrimPrefix(err.Error(), "run: ")), "halfdrop check "+path+" says what state the journal is in; titrate --resume closes a run")
	}
	r, err := Open(path)
	if err != nil {
		return nil, err
	}
	return report.New(r), nil
}
