package shelf

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/records"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run/keep"
)

// Electrode is which electrode stands in the beaker, and where its calibrations are kept.
type Electrode struct {
	Name string // empty for none named
	File string // the history; empty for the one in the data folder
}

// Tell puts what is known of the electrode into the run, or that
// nothing is, and says what is to be said of it.
func (p Electrode) Tell(k *keep.Keeper, talk io.Writer) error {
	h, err := p.calibrations()
	if err != nil {
		return err
	}
	name, near := h.Find(p.Name)
	say := func(format string, args ...any) { fmt.Fprintf(talk, "halfdrop: "+format+"\n", args...) }
	aim := k.State.Forecast().Aim
	now := time.Now()
	use := calib.Use{At: now, Electrode: name, Target: aim, Present: math.NaN(), TempC: math.NaN(), Tolerance: k.State.Setup.Tolerance}
	if name == "" {
		use.Electrode = p.Name
	}
	line, check, findings := h.For(use)
	switch named := list(h, now); {
	case line != nil || check != nil || named == "":
	case p.Name == "":
		say("note: no electrode was named, so no calibration is used; give --electrode with one of: %s", named)
	case len(near) > 0:
		say("note: electrode %s was never calibrated; is it %s? known electrodes: %s", p.Name, strings.Join(near, " or "), named)
	default:
		say("note: electrode %s was never calibrated; known electrodes: %s", p.Name, named)
	}
	for _, f := range findings {
		if f.Level == calib.Remark || f.Level == calib.Stop {
			say("note: %s", f.Text)
		}
	}
	return putCalibration(k, say, line, check)
}

// calibrations is the history: the file named, else that of the data folder.
func (p Electrode) calibrations() (records.History, error) {
	if p.File != "" {
		return LoadHistory(p.File)
	}
	path, err := HistoryFile()
	if err != nil {
		return records.History{}, remedy.With(err, "name a journal with --journal FILE")
	}
	return LoadHistory(path)
}

// list are the electrodes of a history with what is in use of each.
func list(h records.History, now time.Time) string {
	var out []string
	for _, name := range h.Named() {
		line, check := h.Current(name)
		for _, c := range []*calib.Calibration{line, check} {
			switch {
			case c == nil:
			case c.Usable():
				out = append(out, c.Brief(now)+" ago")
			default:
				out = append(out, c.Electrode+" (not accepted)")
			}
		}
	}
	return strings.Join(out, "; ")
}

// putCalibration puts the check and the line into the run, and says before the
// first reading what the pH will rest on.
func putCalibration(k *keep.Keeper, say func(string, ...any), line, check *calib.Calibration) error {
	payloads := [][]byte{}
	for _, c := range []*calib.Calibration{check, line} {
		if c == nil {
			continue
		}
		b, err := json.Marshal(c)
		if err != nil {
			return fmt.Errorf("calibration: %w", err)
		}
		payloads = append(payloads, b)
	}
	switch {
	case len(payloads) == 0:
		payloads = [][]byte{[]byte("null")}
	case line != nil && line.Usable():
		say("the mV of the meter become pH with %s, %s; a meter that sends only pH goes by its own calibration", line.Brief(time.Now()), line.Summary())
	case line == nil && check.Usable():
		say("the pH of the meter is by its own calibration; %s", check.Summary())
	}
	for _, b := range payloads {
		if err := k.Take(journal.Event{T: k.State.T, Kind: journal.Calibrated, Calibration: b}); err != nil {
			return err
		}
	}
	return nil
}
