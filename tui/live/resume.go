package live

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/link"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/protocol"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station"
)

// Start begins a run, or goes on with one.
func (t *Asked) Start(args []string) error {
	switch {
	case t.Resume:
		return t.goOn(args)
	case len(args) > 0:
		return remedy.Call(fmt.Errorf("%q: a plan is given with --plan FILE", args[0]), "to resume a run: halfdrop titrate --resume JOURNAL")
	}
	return t.run()
}

// goOn takes a run up again.
func (t *Asked) goOn(args []string) error {
	if t.Plan != "" || t.Journal != "" {
		return remedy.Call(errors.New("--resume takes plan and journal from the run itself"), "leave --plan and --journal out; one of several is named: halfdrop titrate --resume run.jsonl")
	}
	path, err := whichRun(args)
	if err != nil {
		return err
	}
	done := t.busy("reading " + filepath.Base(path))
	defer done()
	r, err := keep.Resume(path, t.now(), journal.WithClock(t.now))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return remedy.With(err, "halfdrop titrate --resume alone takes the unfinished run in the data folder")
	case err != nil:
		return keep.Unresumed(path, err)
	}
	defer r.Writer.Close()
	b, err := t.benchAgain(r)
	if err != nil {
		return err
	}
	done()
	tellResumed(t.Talk, path, r)
	t.Electrode = cmp.Or(t.Electrode, r.Keeper.State.Noted().Electrode)
	s := session.NewSession(r.Keeper, b.source, b.now, b.dispenser)
	s.Recall = t.memory().Recall()
	t.watchClock(s, b)
	return t.show(s, r.Keeper, path)
}

// whichRun is the journal named, else the only one that was left.
func whichRun(args []string) (string, error) {
	if len(args) > 0 {
		return args[0], nil
	}
	folder, err := journal.DefaultFolder()
	if err != nil {
		return "", remedy.With(err, "name the journal: halfdrop titrate --resume JOURNAL")
	}
	open, err := keep.Unfinished(folder)
	open = slices.DeleteFunc(open, func(k keep.Kept) bool { return journal.Busy(k.Path) }) // it goes on at another window
	switch {
	case err != nil:
		return "", err
	case len(open) == 0:
		return "", remedy.With(fmt.Errorf("no unfinished run in %s", folder), "name a journal to resume one that has ended")
	case len(open) == 1:
		return open[0].Path, nil
	}
	var hints []string
	for _, k := range open {
		hints = append(hints, unfinishedLine(k))
	}
	return "", &remedy.Error{Kind: remedy.Usage, Err: fmt.Errorf("%d runs are unfinished: say which one", len(open)), Hints: hints}
}

// unfinishedLine names a run that can be taken up again.
func unfinishedLine(k keep.Kept) string {
	return fmt.Sprintf("halfdrop titrate --resume %s   (%s, left %s after %s)", k.Path, k.Name, shelf.LeftAt(k.Path, k.Last).Local().Format("2 Jan 15:04"), phrase.Lasting(k.Seconds))
}

func tellResumed(w io.Writer, path string, r *keep.Resumed) {
	if r.Repair.Needed() {
		fmt.Fprintf(w, "halfdrop: %s\n", r.Repair)
	}
	fmt.Fprintf(w, "halfdrop: resuming %s after %s without readings\n", path, phrase.Lasting(r.Away))
}

// serialSource stands before the name of a port in a journal.
const serialSource = "serial port "

// benchAgain is where the run goes on: the port named, or the one of the
// journal, or the simulated bench with all that was added to it.
func (t *Asked) benchAgain(r *keep.Resumed) (place, error) {
	name := t.Line.Again(r.First.Start.Source)
	if rest, ok := strings.CutPrefix(name, recorded.ByHand+", "); ok {
		name, t.ByHand = rest, true
	}
	var seed uint64
	if _, err := fmt.Sscanf(name, sim.SourcePrefix+"%d", &seed); err == nil && t.Port == "" {
		return t.simAgain(r, seed)
	}
	switch {
	case name == recorded.ByHand && t.Port == "" && !t.Sim:
		t.ByHand = true
	case t.ByHand:
	case t.Sim:
		return place{}, remedy.Call(fmt.Errorf("the readings came from %q, not from a simulated bench of known seed", name), "give the meter's port with --port NAME")
	case t.Port == "" && (name == "" || name == protocol.Source || name == link.Stdin):
		return place{}, remedy.Call(errors.New("the journal names no port"), "give the meter's port with --port NAME")
	case t.Port == "":
		t.Port = strings.TrimPrefix(name, serialSource)
	}
	return t.bench(r.Keeper.State.Setup.Plan, r.Begin)
}

// simAgain puts the bench together again. The person has put the electrode
// back into the beaker: it settles anew, from the second at which the run goes on.
func (t *Asked) simAgain(r *keep.Resumed, seed uint64) (place, error) {
	begun, err := run.Open(r.First) // before any bottle was brought to it
	if err != nil {
		return place{}, err
	}
	b, err := sim.New(begun.Setup, sim.DefaultTruth(begun.Setup, seed))
	if err != nil {
		return place{}, err
	}
	for _, st := range r.Keeper.State.Setup.Stocks[len(begun.Setup.Stocks):] {
		if err := b.Bring(st); err != nil {
			return place{}, err
		}
	}
	for _, a := range r.Keeper.State.Additions() {
		if err := b.Dispense(a.Titrant, a.Drops, chem.Volume(a.ML)*chem.Millilitre); err != nil {
			return place{}, err
		}
	}
	clock, from := sim.NewClock(t.Speed), r.Keeper.State.T
	at := place{
		name: sim.SourceName(seed), source: b.Source(clock, sim.Every),
		now:  func() float64 { return from + clock.Seconds() },
		wall: func(s float64) time.Time { return r.Begin.Add(time.Duration(s * float64(time.Second))) }, dispenser: station.Plate{Bench: b},
	}
	return t.readOff(at, b, clock), nil
}
