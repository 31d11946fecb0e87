package dip

import (
	"context"
	"fmt"
	"io"
	"math"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/led"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/terminal"
	"example.org/halfdrop/tui/widget"
)

// LeadOnScreen is lead with a screen in place of lines.
func (r *Rig) LeadOnScreen(ctx context.Context, title string, look terminal.Options) error {
	talk := r.Talk
	r.Talk = io.Discard
	err := led.Calibrate(ctx, func(ctx context.Context, pressed <-chan string, show func(screen.Calibration)) error {
		r.show = func() { show(r.state(title)) }
		return r.Lead(ctx, pressed)
	}, look)
	r.Talk, r.show = talk, nil
	return err
}

// state is what the screen shows now.
func (r *Rig) state(title string) screen.Calibration {
	t := r.Now()
	st := screen.Calibration{Title: title, Facts: r.Source.String(), Expect: math.NaN()}
	if r.link != "" {
		st.Facts, st.Odd = r.link, r.lost
	}
	st.Facts = phrase.Watch(t) + " · " + st.Facts // what may be cut goes last
	st.Dips = r.dips()
	if r.offered != nil {
		return r.offerState(st)
	}
	if r.unkept != nil {
		st.Facts, st.Odd = "not kept on the way: "+r.unkept.Error(), true
	}
	if r.Proc.Stage() == walk.Done {
		st.Mood, st.Sentence = screen.AllSet, "all standards have been read"
		return st
	}
	ch, n, of := r.Proc.Current()
	st.Big = ch.Standard.Name
	switch r.Proc.Stage() {
	case walk.Immerse:
		st.Mood = screen.DoNow
		st.Sentence = fmt.Sprintf("rinse, blot and put the electrode into %s, then Enter (%d of %d)", ch.Standard, n, of)
		st.Why = "fresh " + ch.Standard.Set.Describe() + ", at bench temperature; stir gently; bulb and junction under the surface, filling hole open"
		if text := r.stale(ch); text != "" {
			st.Why = text
		}
		if r.asked && !r.Proc.Tells() {
			st.Sentence = "the meter sends no temperature: type that of the standards in °C, then Enter; or Enter for 25"
		}
	case walk.Settle:
		st.Mood, st.Sentence = screen.LetBe, fmt.Sprintf("the electrode is in %s: leave it until it has settled (%d of %d)", ch.Standard, n, of)
		st.Why = "the reading is taken automatically once its end value is known"
	case walk.Ask:
		st.Mood, st.Sentence, st.Why = screen.LookAt, "check electrode and beaker: a reads again, t takes it", r.Proc.Why()
	}
	r.reading(&st)
	st.Message = r.told
	return st
}

// offerState is what the screen shows while a calibration that was broken off is
// offered.
func (r *Rig) offerState(st screen.Calibration) screen.Calibration {
	u := *r.offered
	st.Mood = screen.Offered
	st.Sentence = "Enter resumes the calibration that was interrupted " + u.Age(r.Wall(r.Now())) + " ago, n starts again"
	st.Why = "resume only with the same portions and the same electrode, untouched in between"
	for _, d := range u.Dips {
		for i, ch := range r.Proc.Choices() {
			if ch.Standard.Name == d.Point.Standard && ch.Standard.Set == d.Point.Set {
				st.Dips[i].Value = pointWords(d.Point)
			}
		}
	}
	for i := range st.Dips {
		st.Dips[i].Now = false
	}
	r.reading(&st)
	return st
}

// reading puts the present reading and its course into the state.
func (r *Rig) reading(st *screen.Calibration) {
	if last := r.last; r.heard {
		st.Reading, st.Unit = fmt.Sprintf("%.*f", last.Decimals, last.Value), "pH"
		if last.Quantity == meter.Millivolt {
			st.Unit = "mV"
		}
		switch t, typed := r.Proc.Warmth(); {
		case typed:
			st.Unit += fmt.Sprintf(" · %.1f °C typed", float64(t))
		case last.HasTemp:
			st.Unit += fmt.Sprintf(" · %.1f °C", last.TempC)
		}
	}
	g := r.Proc.Gather()
	if g == nil {
		return
	}
	mv := r.last.Quantity == meter.Millivolt
	st.Under = towards(g, r.last)
	for _, p := range r.trace {
		st.Trace = append(st.Trace, widget.Point{X: p.X - g.Since(), Y: p.Y})
	}
	if ph, err := g.Standard.PH(g.Temp()); err == nil {
		st.Expect, st.Near, st.Expects = ph, 0.05, fmt.Sprintf("the standard, pH %.2f", ph)
		if mv {
			st.Expect, st.Near = nernst.MV(ph, g.Temp()), 15
			st.Expects = fmt.Sprintf("ideal electrode, pH %.2f ±15 mV", ph)
		}
	}
}

// dips are the standards with what was read in them.
func (r *Rig) dips() []screen.Dip {
	var out []screen.Dip
	points, check := r.Proc.Points()
	_, n, _ := r.Proc.Current()
	for i, ch := range r.Proc.Choices() {
		d := screen.Dip{Name: ch.Standard.String(), Now: i == n-1 && r.Proc.Stage() != walk.Done}
		if ch.Check {
			d.Name += " check"
		}
		p := check
		if !ch.Check {
			p = nil
			for j := range points {
				if points[j].Standard == ch.Standard.Name && points[j].Set == ch.Standard.Set {
					p = &points[j]
				}
			}
		}
		if p != nil {
			d.Value = pointWords(*p)
		}
		out = append(out, d)
	}
	return out
}
