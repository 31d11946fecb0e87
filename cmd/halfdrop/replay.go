package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/past"
	"github.com/spf13/cobra"
)

func newReplayCommand() *cobra.Command {
	p := &replayer{columns: map[string]*string{}}
	c := &cobra.Command{
		Use:   "replay FILE",
		Short: "Look back on a run: step through it, where it overshot, and why",
		Long: `Steps through the journal of a run: curve, readings and additions as they came,
the advice of each moment beside what was done. Every overshoot is explained,
with what would have been safe on what was known then. The file is only read.
Where standard output is no terminal the summary is printed; --plain steps in lines.

A table of readings from another program is read too: columns separated by commas,
semicolons, tabs, bars or blanks, upright or transposed. What each column is, is
worked out from its name, unit and values and shown above its first rows; keys on the
screen, or flags, say otherwise: a name, a number from 1, or - for none. A column
that may be several things is asked about (exit status 2). With volumes its curve is
fitted: acids, strength and equivalence points with their spreads. Strength and
sample volume are taken from the lines above the table if they are there. If you know
what was titrated, say so with --of, or with the plan of a determination: its amount
is then estimated from the whole curve, as halfdrop titrate --find does.`,
		Example: "  halfdrop replay run.jsonl\n  halfdrop replay --summary run.jsonl\n  halfdrop replay --sample-ml 25 --molar 0.1 --volume 2 log.csv\n  halfdrop replay --volume-is each --run 2 log.csv\n  halfdrop replay --of \"acetic acid\" --sample-ml 25 --molar 0.1 log.csv",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.run(cmd, args[0])
		},
	}
	f := c.Flags()
	f.BoolVar(&p.summary, "summary", false, "print what happened instead of stepping through it")
	f.BoolVar(&p.json, "json", false, "the same as one JSON object")
	f.BoolVar(&p.plain, "plain", false, "step through it in lines of text, fit for a screen reader")
	for _, q := range replay.Quantities() {
		p.columns[q] = f.String(q, "", "`column` of "+q+" in a log of another program")
	}
	f.Float64Var(&p.fit.SampleML, "sample-ml", 0, "`mL` of sample titrated, for a log of another program")
	f.Float64Var(&p.fit.Molar, "molar", 0, "strength of its titrant, `mol/L`")
	f.StringVar(&p.volume, "volume-is", "", "what its volume counts: `total` given, each row, left in the burette, or rise from its first value")
	f.IntVar(&p.log.Run, "run", 0, "which of several runs side by side, `1` for the first")
	f.Float64Var(&p.molarSD, "molar-sd", strangeMolar, "with --of: spread of that strength, `per cent`")
	f.StringVar(&p.plan, "plan", "", "for a log of another program: the plan `file` of a determination; its amount is estimated as a run would")
	f.StringVar(&p.of, "of", "", "the same without a plan: the `reagent` to be determined")
	f.StringVar(&p.titrant, "titrant", "", "with --of: the `reagent` of the titrant; default: NaOH or HCl, whichever way the pH goes")
	f.Float64Var(&p.drop, "drop-ul", 50, "size of its drops, `µL`")
	return c
}

// replayer is what the command line asks for.
type replayer struct {
	summary, json, plain bool
	columns              map[string]*string
	fit                  fit.Options
	volume               string
	log                  replay.LogOptions
	drop                 float64

	plan, of, titrant string
	molarSD           float64
}

func (p *replayer) run(cmd *cobra.Command, path string) error {
	switch {
	case p.summary && p.json, p.plain && cmd.Flags().Changed("plain") && (p.summary || p.json):
		return usageError(errors.New("--summary, --json and --plain exclude each other"), "leave one out")
	case p.volume != "" && !slices.Contains(replay.VolumeKinds(), p.volume):
		return usageError(fmt.Errorf("--volume-is %q is not one of %s", p.volume, strings.Join(replay.VolumeKinds(), ", ")))
	case p.log.Run < 0:
		return usageError(errors.New("--run counts from 1"))
	case p.plan != "" && p.of != "":
		return usageError(errors.New("--plan and --of exclude each other"), "a plan says what is to be found")
	case p.titrant != "" && p.of == "":
		return usageError(errors.New("--titrant belongs to --of"), "a plan names its titrants")
	case p.fit.SampleML < 0 || p.fit.Molar < 0 || !(p.drop > 0) || !(p.molarSD > 0):
		return usageError(errors.New("--sample-ml, --molar, --molar-sd and --drop-ul are above zero"))
	}
	isJournal, err := looksLikeJournal(path)
	if err != nil {
		return err
	}
	if !isJournal {
		return p.table(cmd, path)
	}
	r, err := past.Open(path)
	if err != nil {
		return err
	}
	switch p.stepping(cmd) {
	case onScreen:
		err = tui.Replay(cmd.Context(), past.NewTape(r), face)
	case inLines:
		var typed bool
		if typed, err = tui.PlainReplay(cmd.Context(), past.NewTape(r), cmd.InOrStdin(), cmd.OutOrStdout(), face); err == nil && !typed {
			err = p.print(cmd.OutOrStdout(), r)
		}
	default:
		err = p.print(cmd.OutOrStdout(), r)
	}
	return cmp.Or(err, flawed(path, r.Flaw(), r.Damaged(), cmd.ErrOrStderr()))
}

// How a run or a log is gone through.
const (
	inOne    = iota // all of it is printed
	onScreen        // a screen that is stepped through
	inLines         // lines of text, the same; who types nothing gets all of it
)

// stepping is how it is to be gone through.
func (p *replayer) stepping(cmd *cobra.Command) int {
	screen := tui.IsTerminal(cmd.OutOrStdout())
	switch {
	case p.summary || p.json:
		return inOne
	case p.plain, screen && os.Getenv("TERM") == "dumb" && tui.IsTerminal(cmd.InOrStdin()):
		return inLines
	case screen && os.Getenv("TERM") != "dumb":
		return onScreen
	}
	return inOne
}

// flawed says what is wrong with a journal of which the sound part was shown. The
// status is that of a damaged journal when sound lines were left out.
func flawed(path, flaw string, damaged bool, talk io.Writer) error {
	switch {
	case flaw == "":
		return nil
	case damaged:
		return &remedy.Error{Kind: remedy.Damaged, Err: fmt.Errorf("%s: %s", path, flaw), Hints: []string{"halfdrop check " + path + " names every fault"}}
	}
	fmt.Fprintf(talk, "halfdrop: %s: %s\n", path, flaw)
	return nil
}

// looksLikeJournal reports whether a file begins as JSON does.
func looksLikeJournal(path string) (bool, error) {
	f, err := intake.Open(path, textfile.MaxJournal)
	if err != nil {
		return false, textfile.Refused(err)
	}
	defer f.Close()
	head := make([]byte, 64)
	n, err := f.Read(head)
	if err != nil && err != io.EOF {
		return false, err
	}
	text := bytes.TrimSpace(bytes.TrimPrefix(head[:n], []byte("\xef\xbb\xbf")))
	return len(text) == 0 || text[0] == '{', nil
}

func (p *replayer) print(out io.Writer, r *replay.Run) error {
	if end := r.End(); end.Looks() {
		if f, ok := replay.FoundRecord(r); p.json && ok {
			return textfile.JSON(out, f)
		}
		return replay.WriteFoundText(out, r)
	}
	v := r.Review()
	if p.json {
		return textfile.JSON(out, v)
	}
	return v.WriteText(intake.NewWriter(out))
}
