package walk

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/course"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/phrase"
)

// When the value of a dip is taken, a choice of this project. Its end value may
// still be refined by what the next dips teach of the late part.
const (
	takeSD    = 0.010 // pH: as well known as the bottle itself
	leastSD   = 0.004 // pH, less than which nobody waits for: a last digit of 0.01 hides so much
	enoughSD  = 0.030 // pH, good enough once it has been looked at for enoughFor
	enoughFor = 60.0  // s
	longer    = 85.0  // s, when the verdict hangs on it
	nearMV    = 5.0   // mV that it may still have to go: no more is extrapolated
	nearPart  = 0.05  // or this part of the way that it has come
	patience  = 150.0 // s, after which the person is asked
	roughSD   = 0.060 // pH, good enough by then
)

// warm looks at the temperature: one that cannot be one, or at which nothing is
// known of the standard, is asked about before anything is taken, and forgotten
// when it comes right. It is true when the stage has changed.
func (p *Procedure) warm() bool {
	g := p.gather
	why := ""
	if bad := g.BadTemp(); !math.IsNaN(bad) {
		why = fmt.Sprintf("the meter sends %.1f °C, which no standard on a bench has: check the plug of its temperature probe, or type the temperature", bad)
	} else if _, err := g.Standard.PH(g.Temp()); err != nil && len(g.list) > 0 {
		low, high := g.Standard.Range()
		why = fmt.Sprintf("nothing is known of %s at %.1f °C, only from %g to %g °C: let it come to bench temperature", g.Standard, float64(g.Temp()), float64(low), float64(high))
	}
	switch {
	case why != "":
		changed := !p.trouble
		p.stage, p.trouble, p.why = Ask, true, why
		return changed
	case p.trouble:
		p.stage, p.trouble, p.why = Settle, false, ""
		return true
	}
	return false
}

// ready reports whether the end value is known well enough to take it.
func (p *Procedure) ready(e Estimate, waited float64) bool {
	if !e.Known {
		return false
	}
	k := nernst.Slope(p.gather.Temp())
	if left := math.Abs(e.Now - e.MV); left > math.Max(nearMV, nearPart*p.gather.now.Came()) || p.gather.drifting(e) {
		return false
	}
	switch sd := e.SD / k; {
	case sd <= p.soon():
		return true
	case sd <= p.enough():
		return waited >= enoughFor && (waited >= longer || !p.open())
	default:
		return sd <= roughSD && waited >= patience
	}
}

// plainly reports whether the end of a reading is known well enough to say that it is
// not that of the standard, where odd finds so: who stands in the wrong beaker is told as
// soon as that is sure, the sooner the further it is off, and waits for no last hundredth.
func (p *Procedure) plainly(e Estimate, waited float64) bool {
	return p.stage == Settle && e.Known && waited >= plainFor &&
		math.Hypot(e.SD, e.Now-e.MV) < math.Max(plainWithin*nernst.Slope(p.gather.Temp()), plainPart*p.apart(e))
}

// When a reading is plainly elsewhere (choices).
const (
	plainFor    = 20.0    // s since Enter, which many press before they have rinsed
	plainWithin = 0.15    // pH to which its end is known, with what it has still to go
	plainPart   = 1.0 / 6 // or this part of how far off it is, which a late part of a tenth does not fill
)

// apart is by how much, mV, a reading and its end are both on one side of what the standard
// should read; 0 when it is between them.
func (p *Procedure) apart(e Estimate) float64 {
	_, mv, _, err := p.foretold()
	if now, end := e.Now-mv, e.MV-mv; err == nil && now*end > 0 {
		return math.Min(math.Abs(now), math.Abs(end))
	}
	return 0
}

// foretold is the pH of the standard and the potential, mV, that it should have, with its
// spread, by what was taken before.
func (p *Procedure) foretold() (ph, mv, sd float64, err error) {
	t := p.gather.Temp()
	if ph, err = p.gather.Standard.PH(t); err != nil {
		return 0, 0, 0, err
	}
	points, _ := p.Points()
	mv, sd = calib.Foretold(p.accounts(), points, nernst.MV(ph, t))
	return ph, mv, sd, nil
}

// Wants says for which tolerance, pH, the standards are read: a tight one is worth a
// longer look. A third of it is for the readings, the rest for bottles and for what
// a check is compared with (choice).
func (p *Procedure) Wants(tolerance float64) { p.needs = tolerance / 3 }

// soon is the spread, pH, at which a value is taken at once: that of the bottle, and
// less where a tolerance wants it that is no wider.
func (p *Procedure) soon() float64 {
	if p.needs > 0 {
		return math.Min(takeSD, math.Max(leastSD, p.needs))
	}
	return takeSD
}

// enough is the spread, pH, that is good enough after a minute.
func (p *Procedure) enough() float64 {
	if p.needs > 0 {
		return math.Min(enoughSD, math.Max(takeSD, p.needs))
	}
	return enoughSD
}

// open reports whether this is the last standard of the line and the verdict
// hangs on what a longer look would tell: a limit is within the spread.
func (p *Procedure) open() bool {
	for _, c := range p.choices[p.i+1:] {
		if !c.Check {
			return false
		}
	}
	points, _ := p.Points()
	this, err := p.gather.Point(0, false)
	if err != nil || p.choices[p.i].Check || len(points) == 0 || !p.gather.mv {
		return false
	}
	f, err := calib.FitPoints(append(points, this))
	return err == nil && (f.SlopeNear() || f.OffsetNear())
}

// drifting reports whether the reading moves beyond doubt, and not as an
// electrode does that comes to rest: by more than what is left to go explains.
func (g *Gather) drifting(e Estimate) bool {
	const still = 1.2 // mV a minute: 0.02 pH (choice; no published limit for buffers was found)
	if math.Abs(e.Rate) < still || math.Abs(e.Rate) < 3*e.RateS {
		return false
	}
	left := e.MV - e.Now // a late part of at least 40 s goes no faster than this
	return e.Rate*left < 0 || math.Abs(e.Rate) > 60/driftTau*math.Abs(left)+still
}

// driftTau is the time constant, s, than which nothing near its end is quicker
// that still has something to go (choice).
const driftTau = 20.0

// restless says why a reading has not settled.
func (p *Procedure) restless(t float64, e Estimate) string {
	after := fmt.Sprintf("after %.0f s ", t-p.gather.since)
	k := nernst.Slope(p.gather.Temp())
	end := fmt.Sprintf("%.2f ± %.2g", nernst.PH(e.MV, p.gather.Temp()), e.SD/k)
	switch {
	case !e.Known:
		return after + "too few readings yet to tell where it will end"
	case p.gather.drifting(e) || math.Abs(e.Now-e.MV) > nearMV:
		return after + fmt.Sprintf("it still moves by %+.2f pH a minute, towards %s: a slow or drifting electrode, a standard that is warming up, or no buffer in the beaker", -e.Rate/k, end)
	case e.Noise > calib.Scatters:
		return after + fmt.Sprintf("the readings scatter by %.2g pH: look for bubbles, hard stirring or a loose plug", e.Noise/k)
	}
	return after + "it has not settled, about " + end
}

// odd says what is odd about where a reading settled, or nothing.
func (p *Procedure) odd(e Estimate) string {
	ph, mv, sd, err := p.foretold()
	if err != nil || math.Abs(e.MV-mv) <= math.Max(farSDs*math.Hypot(sd, e.SD), farLeast) {
		return ""
	}
	end, did := nernst.PH(e.MV, p.gather.Temp()), "settled at"
	if math.Abs(e.Now-e.MV) > nearMV {
		did = "is going to"
	}
	points, _ := p.Points()
	return fmt.Sprintf("it %s about pH %.2f, %.2f from the standard's %.2f: %s", did, end, math.Abs(end-ph), ph, p.likeness(e.MV, ph, points))
}

// How near a value must be to what another standard should give to be taken for it,
// mV: one of the list, and one that is not (choices).
const (
	likeMV     = 30.0
	strangerMV = 12.0
)

// likeness asks about a potential, mV, that the standard in hand, of this pH, should not
// have: by what it reads as, and by what was taken before.
func (p *Procedure) likeness(mv, ph float64, points []calib.Point) string {
	t, here := p.gather.Temp(), p.gather.Standard
	like := func(s standards.Standard, mv, within float64) bool {
		there, err := s.PH(t)
		if err != nil {
			return false
		}
		ideal := nernst.MV(there, t)
		foretold, _ := calib.Foretold(p.accounts(), points, ideal)
		return math.Abs(mv-foretold) < within || math.Abs(mv-ideal) < within
	}
	for _, other := range p.choices {
		if other.Standard.Same(here) || !like(other.Standard, mv, likeMV) {
			continue
		}
		for _, q := range points {
			if other.Standard.Name == q.Standard && other.Standard.Set == q.Set && math.Abs(q.Potential()-nernst.MV(ph, t)) < likeMV {
				return fmt.Sprintf("it reads as %s should, and %s read as %s should: if the two were exchanged, cancel and start again", other.Standard, other.Standard, here)
			}
		}
		return fmt.Sprintf("it reads as %s should: is the electrode in that beaker?", other.Standard)
	}
	if n := len(points); n > 0 && math.Abs(mv-nernst.MV(ph, t)) < likeMV {
		return fmt.Sprintf("it reads as %s should, but not beside what was taken in %s: was that the right beaker? If not, cancel and start again", here, points[n-1].Label())
	}
	for _, s := range standards.Of(here.Set) {
		if there, err := s.PH(t); err == nil && math.Abs(there-ph) > 1 && like(s, mv, strangerMV) {
			return fmt.Sprintf("it reads as %s does: is the electrode in the beaker of %s, and what does its bottle say?", s, here)
		}
	}
	return fmt.Sprintf("is the electrode in the beaker of %s, cap off, plug in?", here)
}

// accounts are what is thought of the electrode before.
func (p *Procedure) accounts() []calib.Account {
	if p.gather.mv && p.expects != nil {
		return p.expects
	}
	if !p.gather.mv {
		return calib.Itself
	}
	return calib.Unseen
}

// How much of the way between two standards must be seen for its time constant to be that
// of the glass: a late part is a tenth of it at the most (choices).
const (
	tailPart = 0.25
	tailStep = 60.0 // mV, least way from one standard to the next that says anything
)

// tail reports whether the readings were those of a late part alone, in each dip whose way
// is known from the one before: it was said to be in when the rest was over.
func (p *Procedure) tail(e *course.Ends) bool {
	judged := false
	for i := 1; i < len(p.taken); i++ {
		was, d := &p.taken[i-1], &p.taken[i]
		if was.at < 0 || d.at < 0 {
			continue
		}
		way := math.Abs(e.MV[d.at] - e.MV[was.at])
		if way < tailStep {
			continue
		}
		if d.course.Came() >= tailPart*way {
			return false
		}
		judged = true
	}
	return judged
}

// refine gives the points what all dips together say, and their covariances: of
// a point with those of the line before it, of a check with all of them.
func (p *Procedure) refine(e *course.Ends) {
	tail := p.tail(e)
	var line []int // places of the points of the line among those fitted, -1 for values by hand
	for i := range p.taken {
		d := &p.taken[i]
		at := d.at // -1 for a value that was typed
		if d.point.ByHand {
			at = -1
		}
		if at >= 0 {
			d.point.Refine(calib.Rest{MV: e.MV[at], SD: math.Sqrt(e.Cov[at][at]), Sent: d.sent})
		}
		row := make([]float64, 0, len(line)+1)
		for _, j := range line {
			c := 0.0
			if at >= 0 && j >= 0 {
				c = phrase.Decimals(e.Cov[at][j], 4)
			}
			row = append(row, c)
		}
		k := d.point.SD * nernst.Slope(chem.Celsius(d.point.TempC))
		own := phrase.Decimals(k*k, 4)
		if at >= 0 {
			own = phrase.Decimals(e.Cov[at][at], 4)
		}
		if d.at >= 0 {
			d.point.TauS, d.point.TailS = phrase.Decimals(e.Fast, 1), 0
			if tail {
				d.point.TauS, d.point.TailS = 0, d.point.TauS
			}
			d.point.Late, d.point.Noise = phrase.Decimals(e.Late, 4), phrase.Decimals(e.SD, 3)
		}
		d.point.Cov = append(row, own)
		if !d.choice.Check {
			line = append(line, at)
		}
	}
}
