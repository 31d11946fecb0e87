package coach

import (
	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/belief"
)

// What the coach is told, and what it tells beside its advice, in the words of the rooms that
// work with it: who asks the coach needs no other room.
type (
	// Stock is a titrant as labelled, and the dropper it is given with.
	Stock = account.Stock
	// Learned is what earlier runs have shown of a drop of a stock.
	Learned = account.Learned
	// Mistake is a gross mistake: what is in the beaker or the bottle then.
	Mistake = account.Mistake
	// Addition is titrant given to the beaker.
	Addition = account.Addition
	// Observation is a settled reading.
	Observation = account.Observation
	// History is what has happened so far.
	History = account.History
	// Noise is a class of the noise of single readings.
	Noise = account.Noise
	// Forecast is what the plan alone says, before any reading.
	Forecast = account.Forecast
	// CurvePoint is a point of a predicted titration curve.
	CurvePoint = belief.CurvePoint
	// Lesson is what a run has shown of its stocks, and Shown of one of them.
	Lesson = belief.Lesson
	// Shown is what a run has shown of the drops of one stock.
	Shown = belief.Shown
	// Yield is how much a drop of a stock did in a run, beside what the plan says of it.
	Yield = belief.Yield
)

// The classes of noise, and what is said of electrodes and beakers: see account and belief.
const (
	Unheard  = account.Unheard
	Quiet    = account.Quiet
	Rough    = account.Rough
	LateFrom = account.LateFrom
	Another  = belief.Another
)

// NoiseOf is the class of the standard deviation of one reading, pH; 0 is not known.
func NoiseOf(sd float64) Noise { return account.NoiseOf(sd) }

// Bench is what the coach is told before the first reading. Its fields are not to change any
// more once it was asked something with a reading; it may be asked from several goroutines.
type Bench struct {
	account.Bench
	Guide Guide // where an amount is looked for instead of a pH; else nil

	memory belief.Memory
}

// Believe is what is believed after a history.
func (b *Bench) Believe(h History) belief.Belief { return b.memory.Believe(&b.Bench, h) }

// Forecast computes what the plan predicts.
func (b *Bench) Forecast() Forecast {
	if b.Guide != nil {
		return b.Guide.Forecast()
	}
	return b.Bench.Forecast()
}

// Landing is the settled reading, pH, to expect after an addition, with its central
// 95 %, from what is believed with the present reading; NaN when it cannot be computed.
func (b *Bench) Landing(r Request, a Addition) (after, low, high float64) {
	if b.Guide != nil {
		return b.Guide.Landing(r, a)
	}
	n := a.Drops
	if n <= 0 {
		n = a.Volume.Litres() / b.Stocks[a.Stock].Drop.Litres()
	}
	bel := b.Believe(r.with(r.Now.SD))
	return bel.Landing(a.Stock, n)
}

// DropsBetween is how many drops of a stock, as labelled, lead from one reading
// to another, from what is believed after a history; below 0 when they lead the
// other way, NaN when it cannot be told.
func (b *Bench) DropsBetween(h History, stock int, from, to chem.PH) float64 {
	if b.Guide != nil {
		return b.Guide.DropsBetween(h, stock, from, to)
	}
	bel := b.Believe(h.With(from, betweenSD))
	return bel.DropsTo(stock, from, to)
}

// betweenSD is how well, pH, a reading is known that drops are to lead from; a choice.
const betweenSD = 0.02

// Curve is the titration curve as believed after a history, from a labelled
// charge of from to one of to, in n points. With no observation it is the plan's.
func (b *Bench) Curve(h History, from, to chem.Amount, n int) []CurvePoint {
	if b.Guide != nil {
		return b.Guide.Curve(h, from, to, n)
	}
	bel := b.Believe(h)
	return bel.Curve(from, to, n)
}

// Learn is what a history that has ended well says of the drops of its stocks. ok
// is false when it says nothing: where "as planned" is not what the readings speak
// for, they do not tell what a drop was either.
func (b *Bench) Learn(h History) (l Lesson, ok bool) {
	if b.Unweighed || len(h.Observations) < 2 {
		return l, false
	}
	bel := b.Believe(h)
	return bel.Lesson()
}

// Yields is what the readings say of the drops of each stock that was used, whatever was
// thought of them before; nil where they tell nothing, or an amount is looked for.
func (b *Bench) Yields(h History) []Yield {
	if b.Guide != nil {
		return nil
	}
	return belief.Yields(&b.Bench, h)
}
