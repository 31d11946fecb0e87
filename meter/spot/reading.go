package spot

import (
	"fmt"
	"math"
)

// Figures of judgement; a choice of this project where no source is named.
const (
	dryBack    = 0.5   // pH, a turn of the reading
	dryTurns   = 3     // of them within drySpan
	drySpan    = 40    // s
	dryLeast   = 26    // s: two lines of a pick-up are known for that by then
	creepSpan  = 40    // s
	creepAfter = 40    // s after an addition, in which what goes on may be its doing
	creepPace  = 0.018 // pH/s; an open input was seen to go by 1 pH in 3 s
	creepEven  = 0.95  // of the pace that is left after half of the span
	louder     = 6.0   // times the noise that the run has shown before
	leastLoud  = 0.016 // pH
	spike      = 0.07  // pH
	calmSince  = 11    // s, over which it has to go on
	stillLoud  = 2.0   // times the noise before
	calmRange  = 0.5   // of a jump, that the readings just before and after may range over
	near7      = 0.15  // pH; the crack in a bulb leaves about 0 mV (ASTM D1287, seen)
	farOff     = 0.3   // pH from where it may start
	jump       = 0.10  // pH within a second or two, with nothing added
	fadesBy    = 0.12  // of a jump, within some seconds
	mostStatic = 0.8   // pH; more than that is another beaker
	wipedLasts = 60.0  // s, after which a jump of a wiped electrode has faded
)

// dry: the reading comes and goes over whole pH units.
func (e Eye) dry(c Case) (Finding, bool) {
	b := smooth(e.now.bins[max(0, len(e.now.bins)-drySpan-2):])
	if len(b) < dryLeast {
		return Finding{}, false
	}
	turns, dir, top := 0, 0.0, b[0].Y
	least, most := b[0].Y, b[0].Y
	for _, x := range b {
		least, most = math.Min(least, x.Y), math.Max(most, x.Y)
		switch {
		case dir == 0:
			if math.Abs(x.Y-top) > dryBack {
				dir, top = math.Copysign(1, x.Y-top), x.Y
			}
		case dir*(x.Y-top) > 0:
			top = x.Y
		case dir*(top-x.Y) > dryBack:
			turns, dir, top = turns+1, -dir, x.Y
		}
	}
	return found(DryTip, c.T, fmt.Sprintf("the reading comes and goes between pH %.1f and %.1f whatever is added", least, most)), turns >= dryTurns
}

// smooth are the medians of three readings that follow each other: single wild ones
// are gone.
func smooth(b []Bin) []Bin {
	var out []Bin
	for i := 1; i+1 < len(b); i++ {
		o := b[i]
		o.Y = middle(b[i-1].Y, o.Y, b[i+1].Y)
		out = append(out, o)
	}
	return out
}

// creeping: on and on in one direction, at one pace, with nothing added.
func (e Eye) creeping(c Case) (Finding, bool) {
	b := e.now.bins
	if len(b) < creepSpan+4 {
		return Finding{}, false
	}
	b = b[len(b)-creepSpan:]
	if e.adds > 0 && b[0].T < e.now.since+creepAfter { // a slow electrode is on its way
		return Finding{}, false
	}
	k, se := slope(b)
	k1, _ := slope(b[:creepSpan/2])
	k2, _ := slope(b[creepSpan/2:])
	even := k1*k2 > 0 && math.Min(k1/k2, k2/k1) > creepEven
	return found(Lead, c.T, fmt.Sprintf("the reading creeps on at one pace, %.2f pH in ten seconds, with nothing added", math.Abs(10*k))),
		math.Abs(k) > creepPace && math.Abs(k) > 20*se && even
}

// bubbles: much noisier than before, with spikes. A noise that has been there
// from the start is that of the sensor, and no fault.
func (e Eye) bubbles(c Case) (Finding, bool) {
	all := e.now.bins
	b := all[max(0, len(all)-quietBins):]
	if len(b) < 20 {
		return Finding{}, false
	}
	if math.IsInf(e.noise, 0) && len(all) >= 3*quietBins { // nothing has been added yet
		if q := math.Max(white(all[:quietBins], quietBins), white(all[quietBins:2*quietBins], quietBins)); q > 0 {
			e.noise = q
		}
	}
	w, spikes := white(b, quietBins), 0
	for i := 2; i+2 < len(b); i++ {
		if before, after := b[i].Y-b[i-1].Y, b[i].Y-b[i+1].Y; before*after > 0 && math.Min(math.Abs(before), math.Abs(after)) > spike {
			spikes++
		}
	}
	known := math.Max(e.noise, 0.002)
	is := !math.IsInf(e.noise, 0) && w > math.Max(louder*known, leastLoud) && spikes >= 1 && scatter(b[len(b)-calmSince:]) > stillLoud*known
	words := fmt.Sprintf("the readings scatter by %.3f, %.0f times what they did, with spikes", w, w/known)
	return found(Vortex, c.T, words), is
}

// still: flat from the first reading, far from where it should be.
func (e Eye) still(c Case, h shape) (Finding, bool) {
	first := h
	if len(e.past) > 0 {
		first = e.past[0].at
	}
	if math.IsNaN(c.StartLow) || e.broken || !first.calmAtOnce || first.n < 15 {
		return Finding{}, false
	}
	y := (first.low + first.high) / 2
	for _, s := range append(e.shapes(), h) {
		if math.Abs(s.to-y) > 2*calmSpread+8*first.noise {
			return Finding{}, false // it has moved since
		}
	}
	if c.off(y) < farOff || first.high-first.low > calmSpread+8*first.noise {
		return Finding{}, false
	}
	if len(c.Doses) == 0 { // it may never have been put in, or the beaker is another than planned
		f := deaf(c, y, fmt.Sprintf("the reading has stood at %.2f from the first, where %.1f to %.1f is expected", y, c.StartLow, c.StartHigh))
		f.Outside = true
		if f.Try = "i when the electrode is in the beaker, its cap off; c if something was given already"; f.Fault == Cracked {
			f.Try += "; else the bulb may be cracked"
		}
		return f, true
	}
	return deaf(c, y, fmt.Sprintf("the reading has stood at %.2f since the electrode was put in, where %.1f to %.1f is expected", y, c.StartLow, c.StartHigh)), true
}

// deaf is an electrode that does not answer: at pH 7 a crack is likelier.
func deaf(c Case, y float64, evidence string) Finding {
	if math.Abs(y-7) < near7 {
		return found(Cracked, c.T, evidence, Cap)
	}
	return found(Cap, c.T, evidence, Cracked)
}

// jumped: a jump within a second or two with nothing added: it fades after
// wiping, and leads to 7 and stays there with a crack.
func (e Eye) jumped(c Case) (Finding, bool) {
	b := e.now.bins
	for i := 5; i+8 < len(b); i++ {
		if b[i-1].T-e.now.since < 9 {
			continue
		}
		before, after := middle(b[i-3].Y, b[i-2].Y, b[i-1].Y), middle(b[i+1].Y, b[i+2].Y, b[i+3].Y) // a single wild one is no jump
		k1, _ := slope(b[i-5 : i])
		k2, _ := slope(b[i+1 : i+6])
		size := after - before - 4*(k1+k2)/2 // what is left of a smooth course in that time
		sudden := math.Abs((b[i].Y+b[i+1].Y)/2-before) > 0.6*math.Abs(size)
		if math.Abs(size) < math.Max(jump, 10*c.Noise) || math.Abs(size) > mostStatic && math.Abs(after-7) > near7 || !sudden || 3*math.Abs(k1) > 0.5*math.Abs(size) || 3*math.Abs(k2) > 0.5*math.Abs(size) {
			continue
		}
		if was, is := b[i-5:i], b[i+1:i+7]; math.Max(high(was)-low(was), high(is)-low(is)) > calmRange*math.Abs(size) {
			continue // bubbles
		}
		if noise := math.Max(white(b[:i], quietBins), white(b[i:], quietBins)); math.Abs(size) < 10*noise {
			continue
		}
		last := mean(b[len(b)-4:])
		if at7 := math.Abs(last-7) < near7/2 || math.Abs(last-7) < near7 && math.Abs(size) > 0.5; at7 && math.Abs(after-7) < near7 && len(b)-i > 16 && math.Abs(last-after) < 0.03 {
			return found(Cracked, c.T, fmt.Sprintf("the reading went from %.2f to %.2f at once and stays there", before, after), Cap), true
		}
		if math.Abs(size) < mostStatic && b[len(b)-1].T-b[i].T < wipedLasts && (after-last)/size > fadesBy {
			return found(Wiped, c.T, fmt.Sprintf("the reading jumped by %.2f at once, with nothing added", math.Abs(size))), true
		}
		if math.Abs(size) < mostStatic && math.Abs(after-7) > near7 && math.Abs(after-last) < fadesBy*math.Abs(size) && len(b)-i > 14 && high(b[i-5:i]) > low(b[i-5:i]) {
			return found(Hole, c.T, fmt.Sprintf("the reading jumped by %.2f at once, with nothing added, and stayed there", math.Abs(size)), Unlogged), true
		}
	}
	return Finding{}, false
}

// byTemperature: warm and cooling, or nowhere near the plan and steady.
func (e Eye) byTemperature(c Case) (Finding, bool) {
	const (
		warmBy  = 3.0  // °C above the plan
		coolsBy = 1.0  // °C since the start
		oddBy   = 8.0  // °C from the plan
		steady  = 0.5  // °C
		after   = 45.0 // s
	)
	if math.IsNaN(e.temp) || math.IsNaN(c.BenchTemp) {
		return Finding{}, false
	}
	switch {
	case e.highest-c.BenchTemp >= warmBy && e.highest-e.latest >= coolsBy:
		return found(Warm, c.T, fmt.Sprintf("the beaker has gone from %.1f to %.1f °C", e.highest, e.latest)), true
	case math.Abs(e.latest-c.BenchTemp) >= oddBy && math.Abs(e.latest-e.temp) < steady && c.T-e.tempAt >= after:
		return found(Temperature, c.T, fmt.Sprintf("the meter uses %.1f °C, the plan says %.1f", e.latest, c.BenchTemp)), true
	}
	return Finding{}, false
}
