package replay

import (
	"context"
	"fmt"
	"math"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
)

// source plays readings again at their pace.
type source struct {
	name  string
	speed float64
	begun time.Time
	// each hands over the reports with their run times, in order.
	each func(yield func(t float64, r meter.Report) bool)
}

// Source is the run as a meter: its readings, the lines that could not be
// read and the states of the line come again at the pace at which they came,
// or speed times as fast. The run time of the first is that of the journal.
func (r *Run) Source(speed float64) meter.Source {
	return &source{name: "replay of " + r.First.At.Format("2006-01-02 15:04"), speed: pace(speed), begun: r.First.At, each: r.reports}
}

// Source is the log as a meter. Rows without a time come one second apart.
func (l *Log) Source(speed float64) meter.Source {
	return &source{name: "replay of a log", speed: pace(speed), begun: time.Unix(0, 0).UTC(), each: l.reports}
}

func pace(speed float64) float64 {
	if !(speed > 0) {
		return 1
	}
	return speed
}

// String names the source for people.
func (s *source) String() string { return s.name }

// Run sends the reports until the last, then waits for ctx to end, as a meter
// that has gone quiet does.
func (s *source) Run(ctx context.Context, out chan<- meter.Report) error {
	began := time.Now()
	failed := error(nil)
	last := 0.0
	send := func(t float64, r meter.Report) bool {
		last = t
		due := began.Add(time.Duration(t / s.speed * float64(time.Second)))
		if failed = until(ctx, due); failed != nil {
			return false
		}
		r.At = s.begun.Add(time.Duration(t * float64(time.Second)))
		r.Reading.At = r.At
		select {
		case out <- r:
			return true
		case <-ctx.Done():
			failed = ctx.Err()
			return false
		}
	}
	s.each(send)
	if failed == nil {
		send(last, meter.Report{Kind: meter.GotLink, Link: meter.Closed, Text: "the replay has reached the end"})
	}
	if failed != nil {
		return failed
	}
	<-ctx.Done()
	return ctx.Err()
}

func until(ctx context.Context, due time.Time) error {
	left := time.Until(due)
	if left <= 0 {
		return ctx.Err()
	}
	timer := time.NewTimer(left)
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// links are the states of a line by name.
var links = map[string]meter.Link{"closed": meter.Closed, "opening": meter.Opening, "live": meter.Live, "quiet": meter.Quiet, "lost": meter.Lost}

// reports are what the meter said, in the words of a meter.
func (r *Run) reports(yield func(float64, meter.Report) bool) {
	for i := range r.items {
		e := r.Event(i)
		rep := meter.Report{}
		switch e.Kind {
		case journal.Read:
			rep.Reading = said(e)
		case journal.BadLine:
			rep.Kind, rep.Text, rep.Err = meter.GotBadLine, e.Raw, meter.ErrNotReading
		case journal.LinkChange:
			rep.Kind, rep.Link, rep.Text = meter.GotLink, links[e.Link.State], e.Link.Note
		default:
			continue
		}
		if !yield(e.T, rep) {
			return
		}
	}
}

// said is a reading of the journal as the meter gave it.
func said(e journal.Event) meter.Reading {
	j := e.Reading
	r := meter.Reading{Decimals: j.Decimals, Raw: e.Raw, Value: math.NaN()}
	switch {
	case j.PH != nil:
		r.Value = *j.PH
		if j.MV != nil {
			r.MV, r.HasMV = *j.MV, true
		}
	case j.MV != nil:
		r.Value, r.Quantity = *j.MV, meter.Millivolt
	}
	if j.TempC != nil {
		r.TempC, r.HasTemp = *j.TempC, true
	}
	for _, f := range j.Flags {
		r.Flags |= flags[f]
	}
	if j.Typed {
		r.Flags |= meter.Typed
	}
	if j.Stands {
		r.Flags |= meter.Stands
	}
	return r
}

// flags are what a meter says of itself, by the names of the journal.
var flags = map[string]meter.Flags{"stable": meter.Stable, "unstable": meter.Unstable, "over": meter.OverRange,
	"under": meter.UnderRange, "no probe": meter.NoProbe}

func (l *Log) reports(yield func(float64, meter.Report) bool) {
	for i, row := range l.Rows {
		t := row.T
		if math.IsNaN(t) {
			t = float64(i)
		}
		r := meter.Reading{Value: row.PH, Decimals: 2, Raw: fmt.Sprintf("line %d", row.Line)}
		if !math.IsNaN(row.Temp) {
			r.TempC, r.HasTemp = row.Temp, true
		}
		if !yield(t, meter.Report{Reading: r}) {
			return
		}
	}
}
