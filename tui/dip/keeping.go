package dip

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/records"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/textfile"
)

// Keeping is under which name and where a calibration is kept, and what is said when
// it is not accepted.
type Keeping struct {
	Electrode string // its name; empty for none
	File      string // the history; empty for the one in the data folder
	Accept    string // the reason for using it all the same; empty for none
	Sim       bool   // the simulated electrode, which is kept only in a file that is named
}

// Insist puts the reason for using a result that is not accepted into it, where it
// is a line at all.
func (k *Keeping) Insist(result calib.Calibration) calib.Calibration {
	if result.Verdict == calib.Refused && (result.Checks() || result.Possible()) {
		result.Override = k.Accept
	}
	return result
}

// Known are the earlier calibrations of the electrode, which the new one is judged
// by. The name becomes that of the history, which may be written in other letters.
func (k *Keeping) Known(talk io.Writer) ([]calib.Calibration, error) {
	if k.Sim && k.File == "" {
		return nil, nil
	}
	path, err := k.historyPath()
	if err != nil {
		return nil, err
	}
	h, err := shelf.LoadHistory(path)
	if err != nil {
		return nil, err
	}
	name, near := h.Find(k.Electrode)
	switch {
	case name != "":
		k.Electrode = name
	case k.Electrode == "" && len(h.Named()) > 0:
		fmt.Fprintf(talk, "halfdrop: note: kept without an electrode name; the history has %s: see --electrode\n", strings.Join(h.Named(), ", "))
	case len(near) > 0:
		fmt.Fprintf(talk, "halfdrop: note: electrode %s is new; the history has %s: is it one of these? q to end\n", k.Electrode, strings.Join(near, ", "))
	}
	return h.Of(k.Electrode), nil
}

// Conclude shows the result, keeps it, and is an error when it is not to be used.
func (k *Keeping) Conclude(r *Rig, result calib.Calibration) error {
	ShowResult(r.Out, result)
	if err := k.keep(r.Talk, result); err != nil {
		return r.Kept(err)
	}
	if r.forget != nil {
		if err := r.forget(); err != nil {
			fmt.Fprintf(r.Talk, "halfdrop: note: the partial calibration is still there: %v\n", err)
		}
	}
	if k.Accept != "" && !result.Checks() && !result.Possible() {
		return &remedy.Error{Kind: remedy.Missed, Err: fmt.Errorf("this cannot be accepted, whatever the reason: %s", result.Summary()),
			Hints: []string{"put right what is listed above and calibrate again"}}
	}
	if !result.Usable() {
		hint := "put right what is listed above and calibrate again"
		if result.Checks() || result.Possible() {
			hint += ", or give a reason with --accept to use it anyway"
		}
		return &remedy.Error{Kind: remedy.Missed, Err: errors.New("the calibration is not accepted"), Hints: []string{hint}}
	}
	return nil
}

// historyPath is the file in which calibrations are kept.
func (k *Keeping) historyPath() (string, error) {
	if k.File != "" {
		return k.File, nil
	}
	path, err := shelf.HistoryFile()
	if err != nil {
		return "", remedy.With(err, "name a file with --file")
	}
	return path, nil
}

// keep adds the result to the history and says how the electrode changes.
// What was simulated is kept only in a file that was named.
func (k *Keeping) keep(talk io.Writer, result calib.Calibration) error {
	if k.Sim && k.File == "" {
		fmt.Fprintln(talk, "halfdrop: not kept: this was the simulated electrode")
		return nil
	}
	path, err := k.historyPath()
	if err != nil {
		return err
	}
	if err := shelf.AppendHistory(path, result); err != nil {
		return remedy.With(fmt.Errorf("the calibration could not be saved: %w", err), "name another file with --file")
	}
	verdict := result.Verdict.Words() // once more: of a long result the first line has left a small screen
	if result.Override != "" {
		verdict += ", used all the same"
	}
	fmt.Fprintf(talk, "halfdrop: %s; kept in %s\n", verdict, path)
	if result.Usable() && !k.Sim {
		flags := []string{"halfdrop titrate"}
		if k.Electrode != "" {
			flags = append(flags, "--electrode", phrase.Quote([]string{k.Electrode})[0])
		}
		if k.File != "" {
			flags = append(flags, "--calibrations", phrase.Quote([]string{k.File})[0])
		}
		does := " goes by it"
		if result.Checks() { // it changes no reading
			does = " knows of it"
		}
		fmt.Fprintln(talk, "halfdrop: "+strings.Join(flags, " ")+does)
	}
	h, err := shelf.LoadHistory(path)
	if err != nil {
		return err
	}
	if trend, err := calib.TrendOf(h.Of(k.Electrode)); err == nil {
		for _, s := range trend.Words() {
			fmt.Fprintln(talk, "halfdrop: "+s)
		}
	}
	return nil
}

// ShowHistory writes the calibrations of one electrode, or of each.
func (k *Keeping) ShowHistory(out, talk io.Writer, asJSON bool) error {
	path, err := k.historyPath()
	if err != nil {
		return err
	}
	h, err := shelf.LoadHistory(path)
	if err != nil {
		return err
	}
	for _, n := range h.Bad {
		fmt.Fprintf(talk, "halfdrop: %s, line %d cannot be read and is skipped\n", path, n)
	}
	names := h.Electrodes()
	switch found, near := h.Find(k.Electrode); {
	case len(h.List) == 0:
		fmt.Fprintf(talk, "halfdrop: no calibration is kept in %s\n", path)
		if asJSON {
			return writeHistoryJSON(out, h, nil)
		}
		return nil
	case k.Electrode != "" && found == "":
		fmt.Fprintf(talk, "halfdrop: none of the %d calibrations in %s is of electrode %s; there are %s\n", len(h.List), path, k.Electrode, strings.Join(h.Named(), ", "))
		if len(near) > 0 {
			fmt.Fprintf(talk, "halfdrop: is it %s?\n", strings.Join(near, " or "))
		}
		return nil
	case found != "":
		names = []string{found}
	}
	if asJSON {
		return writeHistoryJSON(out, h, names)
	}
	for i, name := range names {
		if i > 0 {
			fmt.Fprintln(out)
		}
		title := "electrode " + name
		if name == "" {
			title = "electrode without a name"
		}
		fmt.Fprintln(out, title)
		if err := records.WriteTable(out, h.Of(name)); err != nil {
			return err
		}
		trend, err := calib.TrendOf(h.Of(name))
		if err != nil {
			fmt.Fprintln(out, phrase.Plain(err))
			continue
		}
		for _, s := range trend.Words() {
			fmt.Fprintln(out, s)
		}
	}
	return nil
}

// Offer finds what was broken off of this electrode, for the person to decide, and
// lets the rig keep what is accepted from now on.
func (k *Keeping) Offer(r *Rig) error {
	if k.Sim && k.File == "" {
		return nil
	}
	history, err := k.historyPath()
	if err != nil {
		return err
	}
	path := shelf.UnfinishedPath(history)
	r.keep = func() error {
		u, ok := r.Proc.Unfinished(k.Electrode)
		if !ok {
			return nil
		}
		return shelf.SaveUnfinished(path, k.Electrode, &u, r.Wall(r.Now()))
	}
	r.forget = func() error { return shelf.SaveUnfinished(path, k.Electrode, nil, r.Wall(r.Now())) }
	list, bad, err := shelf.LoadUnfinished(path)
	if err != nil {
		return err
	}
	if bad > 0 {
		fmt.Fprintf(r.Talk, "halfdrop: note: %s: %s cannot be read and are skipped\n", path, phrase.Counted(bad, "line"))
	}
	for _, u := range list {
		if !calib.SameName(u.Electrode, k.Electrode) || !u.Fresh(r.Wall(r.Now())) {
			continue
		}
		switch err := r.Proc.Fits(u); {
		case u.Typed != r.Typed:
			fmt.Fprintf(r.Talk, "halfdrop: note: %s, with readings from another source: it is not resumed\n", r.brokenOff(u))
		case err != nil:
			fmt.Fprintf(r.Talk, "halfdrop: note: %s, with other standards: it is not resumed\n", r.brokenOff(u))
		default:
			r.offered, k.Electrode = &u, u.Electrode // as it was written then
		}
	}
	return nil
}

// electrodeJSON are the calibrations of one electrode, the latest last.
type electrodeJSON struct {
	Electrode    string   `json:"electrode"`
	Calibrations any      `json:"calibrations"` // as the history file has them
	Trend        []string `json:"trend"`        // in words
}

func writeHistoryJSON(out io.Writer, h records.History, names []string) error {
	list := []electrodeJSON{}
	for _, name := range names {
		e := electrodeJSON{Electrode: name, Calibrations: h.Of(name), Trend: []string{}}
		if t, err := calib.TrendOf(h.Of(name)); err == nil {
			e.Trend = append(e.Trend, t.Words()...)
		} else {
			e.Trend = append(e.Trend, phrase.Plain(err).Error())
		}
		list = append(list, e)
	}
	return textfile.JSON(out, list)
}
