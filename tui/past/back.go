package past

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/playback"
	"example.org/halfdrop/tui/terminal"
)

// Asked is how a run, or the log of another program, is looked back on.
type Asked struct {
	Summary, JSON, Plain bool
	Said                 func(flag string) bool // it was given, and is no default

	// Of a log: its columns by quantity, what is known beside it, what the volume counts.
	Columns map[string]*string
	Fit     fit.Options
	Volume  string
	Log     foreign.LogOptions
	DropUL  float64

	Aim, Tolerance float64 // pH that was aimed at, which such a log does not say; counts where --aim was given

	// Where its amount is to be determined: the plan, or what was titrated with what,
	// and the spread of the strength, %.
	Plan, Of, Titrant string
	MolarSD           float64
}

// Terminal is where results and talk go, how screens look, and what is typed.
type Terminal struct {
	In        io.Reader
	Out, Talk io.Writer
	Look      terminal.Options
	Busy      func(what string) (done func()) // says what takes long; nil for nothing
}

// reading says that a file is being read, until done is called.
func (at Terminal) reading(path string) (done func()) {
	if at.Busy == nil {
		return func() {}
	}
	return at.Busy("reading " + filepath.Base(path))
}

// Replay looks back on a journal, or on the log of another program.
func (p *Asked) Replay(ctx context.Context, at Terminal, path string) error {
	switch {
	case p.Summary && p.JSON, p.Plain && p.Said("plain") && (p.Summary || p.JSON):
		return remedy.Call(errors.New("--summary, --json and --plain exclude each other"), "leave one out")
	case p.Volume != "" && !slices.Contains(foreign.VolumeKinds(), p.Volume):
		return remedy.Call(fmt.Errorf("--volume-is %q is not one of %s", p.Volume, strings.Join(foreign.VolumeKinds(), ", ")))
	case p.Log.Run < 0:
		return remedy.Call(errors.New("--run counts from 1"))
	case p.Plan != "" && p.Of != "":
		return remedy.Call(errors.New("--plan and --of exclude each other"), "a plan says what is to be found")
	case p.Titrant != "" && p.Of == "":
		return remedy.Call(errors.New("--titrant belongs to --of"), "a plan names its titrants")
	case !amount(p.Fit.SampleML) || !amount(p.Fit.Molar) || !(p.DropUL > 0 && amount(p.DropUL)) || !(p.MolarSD > 0 && amount(p.MolarSD)):
		return remedy.Call(errors.New("--sample-ml, --molar, --molar-sd and --drop-ul are above zero"))
	case p.Said("aim") && !(p.Aim >= 0 && p.Aim <= 14):
		return remedy.Call(fmt.Errorf("--aim %g is not a pH from 0 to 14", p.Aim))
	case p.Said("tolerance") && !p.Said("aim"):
		return remedy.Call(errors.New("--tolerance belongs to --aim"), "--aim 7.4 --tolerance 0.02")
	case p.Said("aim") && !(p.Tolerance > 0 && p.Tolerance <= 1):
		return remedy.Call(fmt.Errorf("--tolerance %g is not above 0 and up to 1", p.Tolerance))
	case p.Said("temp-c") && !(p.Fit.Temp > 0 && p.Fit.Temp <= 100):
		return remedy.Call(fmt.Errorf("--temp-c %g is not above 0 and up to 100 °C", float64(p.Fit.Temp)))
	}
	isJournal, err := looksLikeJournal(path)
	if errors.Is(err, fs.ErrNotExist) {
		return remedy.With(err, whereRuns)
	}
	if err != nil {
		return err
	}
	if !isJournal {
		return p.table(ctx, at, path)
	}
	if p.Said("aim") {
		return remedy.Call(fmt.Errorf("%s: a journal has its aim, --aim is for the log of another program", path), "leave --aim and --tolerance out")
	}
	done := at.reading(path)
	r, err := Open(path)
	done()
	if err != nil {
		return err
	}
	switch p.stepping(at) {
	case onScreen:
		err = playback.Replay(ctx, newTape(r), at.Look)
	case inLines:
		var typed bool
		if typed, err = playback.PlainReplay(ctx, newTape(r), at.In, at.Out, at.Look); err == nil && !typed {
			err = p.print(at.Out, r)
		}
	default:
		err = p.print(at.Out, r)
	}
	return cmp.Or(err, flawed(path, r.Flaw(), r.Damaged(), at.Talk))
}

// amount reports whether a figure that is known beside a log can be one: 0 stands for none.
func amount(x float64) bool { return x >= 0 && x <= 1e6 }

// How a run or a log is gone through.
const (
	inOne    = iota // all of it is printed
	onScreen        // a screen that is stepped through
	inLines         // lines of text, the same; who types nothing gets all of it
)

// stepping is how it is to be gone through.
func (p *Asked) stepping(at Terminal) int {
	screen := terminal.Is(at.Out)
	switch {
	case p.Summary || p.JSON:
		return inOne
	case p.Plain, screen && terminal.Dumb() && terminal.Is(at.In):
		return inLines
	case screen && !terminal.Dumb():
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

// whereRuns is what to try when a file is not there.
const whereRuns = "halfdrop alone, on a terminal, lists the runs that are kept; each says where its journal is when it ends"

// otherJSON begins with an object of a line that holds a pH, and nothing that every line of a
// journal has.
var otherJSON = regexp.MustCompile(`(?i)^\{[^{}\n]*"(ph|mv)[^"\n]*"\s*:[^{}\n]*\}\s*(\n|$)`)

// looksLikeJournal reports whether a file begins as a journal does.
func looksLikeJournal(path string) (bool, error) {
	f, err := intake.Open(path, textfile.MaxJournal)
	if err != nil {
		return false, textfile.Refused(err)
	}
	defer f.Close()
	head := make([]byte, 4096)
	n, err := io.ReadFull(f, head)
	if err != nil && err != io.EOF && !errors.Is(err, io.ErrUnexpectedEOF) {
		return false, err
	}
	text := bytes.TrimSpace(bytes.TrimPrefix(head[:n], []byte("\xef\xbb\xbf")))
	if len(text) == 0 {
		return true, nil
	}
	// a logger of somebody's own may write JSON as well: {"t":12,"ph":3.21}
	return text[0] == '{' && !otherJSON.Match(text), nil
}

func (p *Asked) print(out io.Writer, r *replay.Run) error {
	if !p.JSON {
		out = terminal.Lines(out)
	}
	if end := r.End(); end.Looks() {
		if f, ok := replay.FoundRecord(r); p.JSON && ok {
			return textfile.JSON(out, f)
		}
		return replay.WriteFoundText(out, r)
	}
	v := r.Review()
	if p.JSON {
		return textfile.JSON(out, v)
	}
	return v.WriteText(intake.NewWriter(out))
}

// Open reads a journal; one that is damaged ends with the status for that.
func Open(path string) (*replay.Run, error) {
	r, err := replay.Open(path)
	var damage *journal.DamageError
	switch {
	case err == nil:
		return r, nil
	case errors.As(err, &damage):
		return nil, &remedy.Error{Kind: remedy.Damaged, Err: err, Hints: []string{"halfdrop check " + path + " names every fault"}}
	case errors.Is(err, fs.ErrNotExist):
		return nil, remedy.With(err, whereRuns)
	case errors.Is(err, journal.ErrStart):
		if st, err := os.Stat(path); err == nil && st.Size() == 0 {
			return nil, remedy.With(fmt.Errorf("%s: the file is empty", path), "it takes the journal of a run, or, for halfdrop replay, the log of another program")
		}
		hint := "this is not a halfdrop journal; the log of another program is read by halfdrop replay, as a table"
		if strings.Contains(err.Error(), "its beginning") {
			hint = "without its first line, which has the plan, a journal cannot be read: look for the whole file"
		}
		return nil, remedy.With(errors.New(strings.TrimPrefix(err.Error(), "replay: ")), hint)
	}
	return nil, err
}
