package spot

import (
	"fmt"
	"math"
)

// Figures of judgement for the way in which a reading comes to rest. A healthy
// electrode has 2–10 s, a poor one 20–60 s (practice figures, derived).
const (
	slowTau    = 16.0  // s
	tailMove   = 0.05  // pH
	tailShare  = 0.10  // of the whole approach: the late part of an electrode is less
	restless   = 0.003 // pH
	spikeShare = 0.08  // of the step
	leastSpike = 0.02  // pH, twice
	sureSpike  = 0.07  // pH, once
	driftPace  = 0.018 / 60
	driftSpan  = 60  // s
	driftEven  = 0.5 // of the pace that is left after half of the span
	lateSpan   = 180 // s, on the way of the last step
	lateEven   = 0.9
)

// slow: every approach takes its time. lags says so; ok says that the rest has
// been looked at, too, which tells a clogged junction from an old electrode.
func (e Eye) slow(c Case, h shape) (f Finding, lags, ok bool) {
	n, sum := 0, 0.0
	fast := false
	for _, s := range append(e.shapes(), h) {
		tau := s.early
		if math.IsNaN(tau) || s.high-s.low < 0.3 {
			continue
		}
		if math.IsInf(tau, 0) {
			tau = 60
		}
		if tau < slowTau && !math.IsNaN(s.late) && s.late < slowTau || tau < 0.7*slowTau {
			fast = true
		}
		if !math.IsNaN(s.late) && s.late > slowTau && math.Abs(s.lateMove) > 0.05 {
			n, sum = n+1, sum+math.Min(s.late, 90)
		}
	}
	if n == 0 || fast || sum/float64(n) < slowTau {
		return Finding{}, false, false
	}
	tau := sum / float64(n)
	unrest, rest := 0.0, 0.0
	for _, s := range append(e.shapes(), h) {
		if n := s.age - 40; n > 0 && s.n > 40 {
			unrest, rest = unrest+n*s.wander*s.wander, rest+n
		}
	}
	unrest = math.Sqrt(unrest / math.Max(rest, 1))
	words := fmt.Sprintf("the reading is slow: a time constant of about %.0f s", tau)
	if unrest > restless && rest > 50 {
		return found(Clogged, c.T, words+fmt.Sprintf(", and it comes and goes by %.3f when it should rest", unrest), Aged), true, true
	}
	return found(Aged, c.T, words, Clogged), true, rest > 100
}

func (e Eye) shapes() []shape {
	var out []shape
	for _, s := range e.past {
		out = append(out, s.at)
	}
	return out
}

// carried: the first approach is quick, and then comes slowly back from
// something that is still at the electrode.
func (e Eye) carried(c Case, h shape) (Finding, bool) {
	first := h
	if len(e.past) > 0 {
		first = e.past[0].at
	}
	still := math.Exp(-lateFrom / first.early) // of the approach, which the fast part has left by itself
	is := first.early < slowTau && first.late > math.Max(slowTau, 1.6*first.early) && math.Abs(first.lateMove) > math.Max(tailMove, (tailShare+still)*(first.high-first.low))
	f := found(CarryOver, c.T, fmt.Sprintf("the first reading came near within seconds and then moved on by %.2f, slowly: some of the previous solution is on the electrode", math.Abs(first.lateMove)))
	b := e.now.bins
	k, _ := slope(b[max(0, len(b)-12):])
	f.Bad = len(e.past) == 0 && math.Abs(k)*first.late > c.Tolerance
	return f, is
}

// undelayed: nothing for many seconds after an addition, then the answer.
func (e Eye) undelayed(c Case, h shape) (Finding, bool) {
	for _, s := range append(e.shapes(), h) {
		if s.dead {
			return found(Unstirred, c.T, fmt.Sprintf("nothing for %.0f s after an addition, then the response all at once", s.delay)), true
		}
	}
	return Finding{}, false
}

// spiking: past where it will end, to the side of the titrant, and back.
func (e Eye) spiking(c Case, h shape) (Finding, bool) {
	n, most := 0, 0.0
	for i, s := range append(e.shapes(), h) {
		step := math.Abs(s.to - s.from)
		if i > 0 && s.age > s.beyondAt+12 && s.swing < 0.4*s.beyond+4*s.noise && s.beyond > math.Max(spikeShare*step, leastSpike) && s.beyond > 7*s.noise && s.beyond < 6*step {
			n, most = n+1, math.Max(most, s.beyond)
		}
	}
	return found(Zones, c.T, fmt.Sprintf("after an addition the reading went %.2f too far and came back", most)), n >= 2 || most > sureSpike
}

// drifting: at rest, but for a slow way in one direction that does not slow down.
// On the way of the last step that is what the late part of an electrode does:
// there it has to go on for longer.
func (e Eye) drifting(c Case, h shape) (Finding, bool) {
	b := e.now.bins
	span := driftSpan
	if from := e.now.from; math.IsNaN(from) || len(b) > 0 && (h.to-from)*(h.to-b[max(0, len(b)-span)].Y) > 0 {
		span = lateSpan
	}
	if len(b) < span+16 || !math.IsNaN(e.temp) && math.Abs(e.latest-e.temp) > 0.4 {
		return Finding{}, false
	}
	b = b[len(b)-span:]
	k, se := slope(b)
	k1, se1 := slope(b[:span/2])
	k2, se2 := slope(b[span/2:])
	even := driftEven
	if span == lateSpan {
		even = lateEven
	}
	slows := k1*k2 <= 0 || math.Min(k1/k2, k2/k1) < even
	if math.Abs(k) < math.Max(driftPace, 4*se) || slows || math.Hypot(se1, se2) > 0.3*math.Abs(k) {
		return Finding{}, false
	}
	words := fmt.Sprintf("the reading moves by %.3f a minute with nothing added, and does not slow down", k*60)
	if k < 0 && mean(b) > 8 {
		return found(CO2, c.T, words, Hole), true
	}
	return found(Hole, c.T, words, CO2), true
}

// haste: additions on readings that were still moving.
func (e Eye) haste(c Case) (Finding, bool) {
	return found(Early, c.T, fmt.Sprintf("%d of %d additions fell on a reading that was still on its way", e.hasty, e.adds)), e.hasty >= 2
}

// stepped: at rest, then a step with nothing logged, and at rest again.
func stepped(c Case) (Finding, bool) {
	if c.Step == nil {
		return Finding{}, false
	}
	return found(Unlogged, c.T, fmt.Sprintf("the reading stepped from %.2f to %.2f with nothing logged", c.Step.From, c.Step.To)), true
}
