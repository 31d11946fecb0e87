// Package dip leads through the standards of a calibration, in lines of text or on a
// screen: which are read and why, what is asked at each, what is kept on the way and
// in the end, and what is said of the result.
package dip

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/tui/widget"
)

// ErrStopped is the end of a calibration that the person broke off.
var ErrStopped = &remedy.Error{Kind: remedy.Interrupted, Err: errors.New("ended before all standards were read; nothing was kept")}

// sayEvery is how often the settling of a reading is told, s.
const sayEvery = 3.0

// Lead goes through the standards by lines of text until all have been read.
func (r *Rig) Lead(ctx context.Context, lines <-chan string) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	reports := make(chan meter.Report)
	done := make(chan error, 1)
	go func() { done <- r.Source.Run(ctx, reports) }()
	defer func() { cancel(); <-done }()
	if r.offered != nil {
		fmt.Fprintln(r.Talk, "halfdrop: "+r.brokenOff(*r.offered))
		fmt.Fprintln(r.Talk, "  Enter: resume from there · new: from the start · q: end")
	} else {
		r.prompt()
	}
	for r.Proc.Stage() != walk.Done {
		if r.show != nil {
			r.show()
		}
		select {
		case <-ctx.Done():
			return r.stopped()
		case err := <-done:
			done <- err
			if ctx.Err() != nil {
				return r.stopped()
			}
			return r.Kept(fmt.Errorf("%s: %w", r.Source, err))
		case rep := <-reports:
			if err := r.take(rep); err != nil {
				return r.Kept(err)
			}
		case text, open := <-lines:
			if !open {
				lines = nil
			}
			if err := r.answer(strings.ToLower(strings.TrimSpace(text)), open); err != nil {
				return err
			}
		}
		if lines == nil && (r.Proc.Stage() == walk.Immerse || r.Proc.Stage() == walk.Ask) {
			return r.Kept(remedy.With(errors.New("the input ended before all the standards had been read"), "each standard waits for Enter"))
		}
	}
	return nil
}

// prompt says what to do with the next standard. By hand the temperature of the
// standards comes first: nothing sends it.
func (r *Rig) prompt() {
	if r.Proc.Stage() != walk.Immerse {
		return
	}
	if r.Typed && !r.Proc.Tells() {
		fmt.Fprintln(r.Talk, "\ntype the temperature of the standards in °C, as a thermometer in them reads; q to end")
		return
	}
	ch, n, of := r.Proc.Current()
	check := ""
	if ch.Check {
		check = ", the check"
	}
	fmt.Fprintf(r.Talk, "\n%d of %d: standard %s%s (%s)\n", n, of, ch.Standard, check, ch.Standard.Set.Describe())
	if text := r.stale(ch); text != "" {
		fmt.Fprintln(r.Talk, "  "+text)
	}
	fmt.Fprintln(r.Talk, "  rinse and blot the electrode, put it in, stir gently:") // lines that a narrow terminal has room for
	fmt.Fprintln(r.Talk, "  bulb and junction under the surface, filling hole open")
	if r.Typed {
		fmt.Fprintln(r.Talk, "  once it is steady, type what the meter shows:")
		fmt.Fprintln(r.Talk, "  7.02, or -1.2 mV; q to end")
		return
	}
	fmt.Fprintln(r.Talk, "  Enter when it is in, back for the one before, q to end")
	if r.Rinse != nil {
		r.Rinse()
	}
}

// stale says that the bottle of a standard is past its date, before anything of it is
// poured; empty when it is not.
func (r *Rig) stale(ch walk.Choice) string {
	if !calib.Expired(ch.Expiry, r.Wall(r.Now())) {
		return ""
	}
	return fmt.Sprintf("the bottle of %s expired on %s: open another one; read all the same, the record says so", ch.Standard, ch.Expiry)
}

// take takes what the meter has to say.
func (r *Rig) take(rep meter.Report) error {
	switch rep.Kind {
	case meter.GotLink:
		if rep.Text != "" {
			fmt.Fprintln(r.Talk, "halfdrop: "+rep.Text)
		}
		r.link, r.lost = rep.Text, rep.Link == meter.Lost || rep.Link == meter.Quiet
		return nil
	case meter.GotBadLine:
		return nil // a line lost is one reading less
	}
	t := r.Now()
	r.follow(t, rep.Reading)
	before, _ := r.Proc.Points()
	changed, err := r.Proc.Push(t, rep.Reading)
	switch {
	case err != nil:
		return err
	case changed && r.Proc.Stage() == walk.Ask:
		fmt.Fprintln(r.Talk, "  "+r.Proc.Why())
		fmt.Fprintln(r.Talk, "  again: read it once more after putting it right; take: use the value anyway; q: end")
	case changed:
		r.taken(len(before))
	case r.Proc.Stage() == walk.Settle && t-r.said >= sayEvery:
		r.said = t
		r.progress()
	}
	return nil
}

// traceSize bounds the course of a reading that is kept for the screen.
const traceSize = 600

// follow keeps the course of the reading in the present standard.
func (r *Rig) follow(t float64, reading meter.Reading) {
	if !reading.Usable() {
		return
	}
	reading = calibrated(reading)
	r.last, r.heard = reading, true
	g := r.Proc.Gather()
	if g == nil {
		r.trace = nil
		return
	}
	// Enter may have come before a reading out of the standard before did.
	r.trace = slices.DeleteFunc(r.trace, func(p widget.Point) bool { return p.X <= g.Since() })
	if len(r.trace) >= traceSize {
		r.trace = r.trace[1:]
	}
	r.trace = append(r.trace, widget.Point{X: t, Y: reading.Value})
}

// calibrated is a reading in what is calibrated: the potential, where one comes beside
// a pH that the meter has made of it by a calibration of its own.
func calibrated(r meter.Reading) meter.Reading {
	if r.HasMV {
		r.Quantity, r.Value, r.Decimals, r.HasMV = meter.Millivolt, r.MV, 1, false
	}
	return r
}

// progress is a line about a reading on its way.
func (r *Rig) progress() {
	g := r.Proc.Gather()
	last, ok := g.Last()
	if !ok {
		return
	}
	where := towards(g, last)
	if where == "" {
		where = "too early to say where it will end"
	}
	fmt.Fprintf(r.Talk, "  %s, settling: %s\n", meter.Words(last), where)
}

// tellFrom is the spread of an end value, pH, from which on it is told.
const tellFrom = 0.2

// towards is where a reading will end, in what the meter sends: "towards 7.02 ±
// 0.03"; empty while nothing can be said.
func towards(g *walk.Gather, last meter.Reading) string {
	e, k := g.Estimate(), nernst.Slope(g.Temp())
	switch {
	case !e.Known || e.SD >= tellFrom*k:
		return ""
	case last.Quantity == meter.Millivolt || last.HasMV:
		return fmt.Sprintf("towards %.1f ± %.1f mV", e.MV, max(e.SD, 0.1))
	}
	return fmt.Sprintf("towards %.2f ± %.2f", nernst.PH(e.MV, g.Temp()), max(e.SD/k, 0.01))
}

// taken tells of the point that was just taken, and asks for the next.
func (r *Rig) taken(before int) {
	if r.keep != nil {
		r.unkept = r.keep()
	}
	points, check := r.Proc.Points()
	p := check
	if len(points) > before {
		p = &points[len(points)-1]
	}
	by, how := "", "settled after %.0f s"
	if p.TempByHand {
		by = ", the temperature not measured"
	}
	if p.Typed {
		fmt.Fprintf(r.Talk, "  read off: %s (± %.2f pH), where the standard is pH %.2f\n", pointWords(*p), p.SD, p.PH)
		r.prompt()
		return
	}
	if p.ByHand {
		how = "accepted on your word after %.0f s"
	}
	fmt.Fprintf(r.Talk, "  "+how+": %s (± %.2f pH)%s, where the standard is pH %.2f\n", p.Seconds, pointWords(*p), max(p.SD, 0.01), by, p.PH)
	r.prompt()
}

// pointWords is the value of a point: "-1.2 mV at 22.5 °C".
func pointWords(p calib.Point) string {
	value := ""
	switch {
	case p.MV != nil:
		value = fmt.Sprintf("%.1f mV", *p.MV)
	case p.Shown != nil:
		value = fmt.Sprintf("pH %.3f", *p.Shown)
	}
	return value + fmt.Sprintf(" at %.1f °C", p.TempC)
}

// answer does what a typed line wants.
func (r *Rig) answer(text string, open bool) error {
	t := r.Now()
	r.told = ""
	switch {
	case !open:
		return nil
	case text == "q" || text == "quit":
		return r.stopped()
	case r.offered != nil:
		return r.decide(text)
	case text == "back":
		r.back()
	case r.Typed && !r.Proc.Tells():
		return r.typeWarmth(text)
	case r.Typed:
		return r.typeIn(text)
	case text == "again" && r.Proc.Stage() != walk.Immerse:
		r.Proc.Again()
		r.prompt()
	case text == "take" && r.Proc.Stage() != walk.Immerse:
		before, _ := r.Proc.Points()
		if err := r.Proc.Accept(t); err != nil {
			r.tell("not accepted: %v", phrase.Plain(err))
			return nil
		}
		r.taken(len(before))
	case text == "" && r.Proc.Stage() == walk.Immerse:
		return r.dip(t)
	case r.warmed(text):
	case text == "":
	default:
		r.told = fmt.Sprintf("%q is not a temperature in °C", text)
		fmt.Fprintln(r.Talk, "  a number: the temperature of the standards, °C · Enter: the electrode is in · again: restart this standard · back: read the one before again · take: accept the value as it is · q: end")
	}
	return nil
}

// back discards the standard that was accepted last, also of what is kept on the way.
func (r *Rig) back() {
	if !r.Proc.Back() {
		r.tell("no standard has been accepted yet")
		return
	}
	if r.keep != nil {
		if _, ok := r.Proc.Unfinished(""); ok {
			r.unkept = r.keep()
		} else {
			r.unkept = r.forget()
		}
	}
	r.prompt()
	r.told = "the value before is discarded: read this standard again"
}

// dip takes the word of the person that the electrode is in. Before the first dip
// what cannot be done is refused, and a temperature that nothing sends is asked for,
// once.
func (r *Rig) dip(t float64) error {
	if _, n, _ := r.Proc.Current(); n == 1 {
		if list := r.Proc.Impossible(); len(list) > 0 {
			return remedy.With(fmt.Errorf("nothing is known of %s; nothing was read", strings.Join(list, ", nor of ")), "use other standards, or let them come to bench temperature; see --temp")
		}
	}
	if r.Proc.Heard() && !r.Proc.Tells() && !r.asked {
		r.asked = true
		fmt.Fprintln(r.Talk, "  the meter sends no temperature: type that of the standards in °C, as a thermometer in them reads; Enter again for 25")
		return nil
	}
	if r.Into != nil {
		ch, _, _ := r.Proc.Current()
		fmt.Fprintln(r.Talk, "  "+r.Into(ch.Standard))
	}
	r.said = t
	r.Proc.Ready(t)
	return nil
}

// warmed takes a typed temperature, "22.5" or "22,5 °C".
func (r *Rig) warmed(text string) bool {
	number := strings.ReplaceAll(strings.TrimRight(text, " °c"), ",", ".")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return false
	}
	if !(x >= 0.5 && x <= 60) {
		r.tell("%g °C: a standard on a bench is at 0.5 to 60 °C", x)
		return true
	}
	r.Proc.Warm(chem.Celsius(x))
	r.tell("the standards are at %.1f °C, typed", x)
	if r.asked && r.Proc.Stage() == walk.Immerse {
		fmt.Fprintln(r.Talk, "  Enter when it is in")
	}
	return true
}
