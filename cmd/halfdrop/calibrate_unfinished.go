package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/shelf"
)

// A calibration that is broken off, by the person or by what happens to line and
// computer, is kept beside the history from the first accepted standard on, a line
// an electrode, and offered when the same electrode is calibrated again.

// offer finds what was broken off of this electrode, for the person to decide, and
// lets the rig keep what is accepted from now on.
func (c *calibration) offer(r *rig) error {
	if c.sim && c.file == "" {
		return nil
	}
	history, err := c.historyPath()
	if err != nil {
		return err
	}
	path := shelf.UnfinishedPath(history)
	r.keep = func() error {
		u, ok := r.proc.Unfinished(c.electrode)
		if !ok {
			return nil
		}
		return shelf.SaveUnfinished(path, c.electrode, &u, r.wall(r.now()))
	}
	r.forget = func() error { return shelf.SaveUnfinished(path, c.electrode, nil, r.wall(r.now())) }
	list, bad, err := shelf.LoadUnfinished(path)
	if err != nil {
		return err
	}
	if bad > 0 {
		fmt.Fprintf(r.talk, "halfdrop: note: %s: %s cannot be read and are left out\n", path, phrase.Counted(bad, "line"))
	}
	for _, u := range list {
		if !calib.SameName(u.Electrode, c.electrode) || !u.Fresh(r.wall(r.now())) {
			continue
		}
		switch err := r.proc.Fits(u); {
		case u.Typed != c.typed:
			fmt.Fprintf(r.talk, "halfdrop: note: %s, with readings that came another way: it is not gone on with\n", r.brokenOff(u))
		case err != nil:
			fmt.Fprintf(r.talk, "halfdrop: note: %s, with other standards: it is not gone on with\n", r.brokenOff(u))
		default:
			r.offered, c.electrode = &u, u.Electrode // as it was written then
		}
	}
	return nil
}

// brokenOff says what was broken off, and when.
func (r *rig) brokenOff(u calib.Unfinished) string {
	of := ""
	if u.Electrode != "" {
		of = " of electrode " + u.Electrode
	}
	read := make([]string, len(u.Dips))
	for i, d := range u.Dips {
		read[i] = fmt.Sprintf("%s (%s)", d.Point.Standard, pointWords(d.Point))
	}
	return fmt.Sprintf("a calibration%s was broken off %s ago, after %s", of, u.Age(r.wall(r.now())), strings.Join(read, ", "))
}

// decide takes the answer to the offer.
func (r *rig) decide(text string) error {
	switch text {
	case "":
		if err := r.proc.GoOn(*r.offered, r.now()); err != nil {
			return err
		}
		r.offered = nil
		fmt.Fprintln(r.talk, "  going on from there")
	case "new":
		r.offered = nil
		fmt.Fprintln(r.talk, "  from the start")
	default:
		fmt.Fprintln(r.talk, "  Enter: go on from there · new: from the start · q: end; it stays kept")
		return nil
	}
	r.prompt()
	return nil
}

// stopped is the end of a calibration that the person broke off: what has been
// accepted is kept for a while.
func (r *rig) stopped() error {
	if kept := r.keptWords(); kept != "" {
		return &remedy.Error{Kind: remedy.Interrupted, Err: errors.New("broken off; " + kept), Hints: []string{"calibrate the same electrode again to go on from there"}}
	}
	return errStopped
}

// kept adds to an error whether what was accepted before it is kept.
func (r *rig) kept(err error) error {
	var e *remedy.Error
	if !errors.As(err, &e) {
		e = &remedy.Error{Kind: remedy.Failed, Err: err}
	}
	if e.Kind == remedy.Interrupted {
		return err
	}
	out := *e
	words := r.keptWords()
	switch {
	case errors.Is(err, calib.ErrSends):
		out.Hints = append(slices.Clip(e.Hints), "let the meter send as before, or calibrate again and begin anew")
	case words == "":
		out.Hints = append(slices.Clip(e.Hints), "nothing was kept")
	default:
		out.Hints = append(slices.Clip(e.Hints), words+": calibrate the same electrode again to go on from there")
	}
	return &out
}

// keptWords say what is kept of what was accepted so far; empty for nothing.
func (r *rig) keptWords() string {
	u, ok := r.proc.Unfinished("")
	switch {
	case r.offered != nil:
		u = *r.offered
	case !ok || r.keep == nil:
		return ""
	}
	names := make([]string, len(u.Dips))
	for i, d := range u.Dips {
		names[i] = d.Point.Standard
	}
	left := u.At.Add(calib.GoOnWithin)
	return fmt.Sprintf("what was read in %s is kept until %s", strings.Join(names, " and "), left.Format("15:04"))
}
