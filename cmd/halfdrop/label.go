package main

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

	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/report"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/past"
)

func newLabelCommand() *cobra.Command {
	l := &labeller{}
	c := &cobra.Command{
		Use:   "label FILE",
		Short: "The label of a run, with the reading after making up",
		Long: `Prints the label of a run. A label carries what was read of the finished solution,
made up to its mark and mixed: --read puts that reading into the journal, as an
event of its own after the end of the run. On a terminal it is asked for if there is
none yet; an empty line leaves it open, and the label says so.

A solution that was not read within its tolerance has that written across its
label. The label of a run that determined an amount is that of the bottle, or of the
sample: the answer with its spread and its date.`,
		Example: "  halfdrop label run.jsonl --read 7.41 --temp 4.0 --by AB\n  halfdrop label run.jsonl",
		Args:    cobra.ExactArgs(1),
		RunE:    func(cmd *cobra.Command, args []string) error { return l.run(cmd, args[0]) },
	}
	f := c.Flags()
	f.Float64Var(&l.ph, "read", math.NaN(), "`pH` of the finished solution, made up and mixed")
	f.Float64Var(&l.temp, "temp", math.NaN(), "temperature at which it was read, `°C`")
	f.StringVar(&l.by, "by", "", "`name` of who read it")
	return c
}

// labeller is what the command line asks for.
type labeller struct {
	ph, temp float64
	by       string
}

func (l *labeller) run(cmd *cobra.Command, path string) error {
	if err := plainWords("--by", l.by); err != nil {
		return err
	}
	r, err := past.Open(path)
	if err != nil {
		return err
	}
	if f := report.NewFound(r); f != nil {
		if !math.IsNaN(l.ph) || !math.IsNaN(l.temp) || l.by != "" {
			return usageError(errors.New("the run determined an amount: there is no finished solution to read"), "leave --read, --temp and --by out")
		}
		return l.print(cmd, path, r, f.LabelLines())
	}
	rec := report.New(r)
	if math.IsNaN(l.ph) && rec.Finished == nil && rec.Ended && !r.Damaged() && isatty.IsTerminal(os.Stdin.Fd()) && isatty.IsTerminal(os.Stdout.Fd()) {
		if err := l.ask(cmd.InOrStdin(), cmd.ErrOrStderr(), rec); err != nil {
			return err
		}
	}
	if !math.IsNaN(l.ph) {
		if rec, err = l.record(path); err != nil {
			return err
		}
	} else if !math.IsNaN(l.temp) || l.by != "" {
		return usageError(errors.New("--temp and --by go with --read"), "say what was read: --read 7.41")
	}
	return l.print(cmd, path, r, rec.LabelLines())
}

func (l *labeller) print(cmd *cobra.Command, path string, r *replay.Run, lines []string) error {
	out := intake.NewWriter(cmd.OutOrStdout())
	for _, line := range lines {
		if _, err := fmt.Fprintln(out, line); err != nil {
			return err
		}
	}
	return flawed(path, r.Flaw(), r.Damaged(), cmd.ErrOrStderr())
}

// ask asks for the reading after making up.
func (l *labeller) ask(in io.Reader, talk io.Writer, rec *report.Record) error {
	fmt.Fprintf(talk, "pH of the solution made up to %.4g mL and mixed (with its °C, as 7.41 21.5; Enter: not read yet): ", rec.FinalML)
	s := bufio.NewScanner(in)
	if !s.Scan() {
		return s.Err()
	}
	words := strings.Fields(strings.ReplaceAll(s.Text(), ",", "."))
	for i, to := range []*float64{&l.ph, &l.temp} {
		if i >= len(words) {
			break
		}
		v, err := strconv.ParseFloat(words[i], 64)
		if err != nil {
			return usageError(fmt.Errorf("%q is not a number: nothing is recorded", words[i]), "such as 7.41, or 7.41 21.5 with the temperature")
		}
		*to = v
	}
	return nil
}

// record puts the reading into the journal, and gathers the record anew.
func (l *labeller) record(path string) (*report.Record, error) {
	m := journal.Making{PH: l.ph, By: l.by}
	switch {
	case !(l.ph >= -1 && l.ph <= 15):
		return nil, usageError(fmt.Errorf("%g cannot be the pH of a solution", l.ph), "read the display again")
	case !math.IsNaN(l.temp) && !(l.temp >= -5 && l.temp <= 100):
		return nil, usageError(fmt.Errorf("%g °C cannot be the temperature of a solution", l.temp))
	case !math.IsNaN(l.temp):
		m.TempC = &l.temp
	}
	var damage *journal.DamageError
	if _, err := run.RecordMaking(path, m, time.Now(), journal.WithClock(time.Now)); errors.As(err, &damage) {
		return nil, &remedy.Error{Kind: remedy.Damaged, Err: err, Hints: []string{"nothing is written into a damaged journal; halfdrop check " + path + " names every fault"}}
	} else if err != nil {
		return nil, withHint(errors.New(strings.TrimPrefix(err.Error(), "run: ")), "halfdrop check "+path+" says what state the journal is in; titrate --resume closes a run")
	}
	r, err := past.Open(path)
	if err != nil {
		return nil, err
	}
	return report.New(r), nil
}
