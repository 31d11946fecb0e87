package dip

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/remedy"
)

// brokenOff says what was broken off, and when.
func (r *Rig) brokenOff(u walk.Unfinished) string {
	of := ""
	if u.Electrode != "" {
		of = " of electrode " + u.Electrode
	}
	read := make([]string, len(u.Dips))
	for i, d := range u.Dips {
		read[i] = fmt.Sprintf("%s (%s)", d.Point.Standard, pointWords(d.Point))
	}
	return fmt.Sprintf("a calibration%s was interrupted %s ago, after %s", of, u.Age(r.Wall(r.Now())), strings.Join(read, ", "))
}

// decide takes the answer to the offer.
func (r *Rig) decide(text string) error {
	switch text {
	case "":
		if err := r.Proc.GoOn(*r.offered, r.Now()); err != nil {
			return err
		}
		r.offered = nil
		fmt.Fprintln(r.Talk, "  resuming from there")
	case "new":
		r.offered = nil
		fmt.Fprintln(r.Talk, "  from the start")
	default:
		fmt.Fprintln(r.Talk, "  Enter: resume from there · new: from the start · q: end; it stays kept")
		return nil
	}
	r.prompt()
	return nil
}

// stopped is the end of a calibration that the person broke off: what has been
// accepted is kept for a while.
func (r *Rig) stopped() error {
	if kept := r.keptWords(); kept != "" {
		return &remedy.Error{Kind: remedy.Interrupted, Err: errors.New("interrupted; " + kept), Hints: []string{"calibrate the same electrode again to resume from there"}}
	}
	return ErrStopped
}

// Kept adds to an error whether what was accepted before it is kept.
func (r *Rig) Kept(err error) error {
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
	case errors.Is(err, walk.ErrSends):
		out.Hints = append(slices.Clip(e.Hints), "let the meter send as before, or start the calibration again")
	case words == "":
		out.Hints = append(slices.Clip(e.Hints), "nothing was kept")
	default:
		out.Hints = append(slices.Clip(e.Hints), words+": calibrate the same electrode again to resume from there")
	}
	return &out
}

// keptWords say what is kept of what was accepted so far; empty for nothing.
func (r *Rig) keptWords() string {
	u, ok := r.Proc.Unfinished("")
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
	left := u.At.Add(walk.GoOnWithin)
	return fmt.Sprintf("what was read in %s is kept until %s", strings.Join(names, " and "), left.Format("15:04"))
}
