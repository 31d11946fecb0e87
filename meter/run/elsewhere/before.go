// Package elsewhere is whether an electrode is in the beaker at all: before anything is
// ordered on what it shows, and after an addition that its reading speaks against; pure.
package elsewhere

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/scene"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// Codes are those of what a first reading far from the plan may be: who has looked at one of
// them and goes on says that it is the beaker. They must not be changed.
var Codes = []string{
	"spot:" + string(spot.WrongSalt), "spot:" + string(spot.Unlogged), "spot:" + string(spot.Cap), "spot:" + string(spot.Cracked),
}

// farFromStart is how far outside of where the plan has the beaker start, pH, a reading is
// rather that of another liquid. What care allows is in the range already.
const farFromStart = 1.0

// putInWithin is how long after its beginning, s, an electrode may be put in that somebody
// is not asked about.
const putInWithin = 45.0

// A first reading this near to the pH of the standard that electrodes mostly come from is
// not ordered on so soon after the beginning, s: it may be the standard still. Where the plan
// allows the start to lie anywhere in a range of more than wideStart, pH, that it lies just
// there is less likely than that nobody has put the electrode in yet.
const (
	rinsedBy  = 0.06
	rinsedFor = 20.0
	wideStart = 1.2
)

// Before is what a run knows of its electrode before the first addition.
type Before struct {
	Since    float64     // s, since the first reading
	Foretold scene.Range // where the plan has the beaker start
	Ordered  bool        // an addition was ordered since the electrode was put in
	PutIn    bool        // a person has said that the electrode is in the beaker
	Asked    bool        // a CHECK is on the screen
	Looked   []string    // codes of what a person has looked at
}

// Judge turns an order, or a question about an electrode that seems to see nothing, into a
// wait as long as it may not have been put in yet: it comes from another liquid, often after
// the run was begun. Later it asks whether it is in.
func (b *Before) Judge(v *view.View) {
	if f, far := b.far(v); far {
		if v.Spotted = append([]spot.Finding{f}, v.Spotted...); b.Since < putInWithin && !b.Asked {
			v.Advice = Waits(v.Advice)
		} else {
			v.Advice = coach.Advice{Do: coach.Check, Reason: coach.Faulty, Aim: v.Advice.Aim, Tolerance: v.Advice.Tolerance}
		}
		return
	}
	if b.Asked {
		return
	}
	believes := v.Advice.Do == coach.Add || v.Advice.Do == coach.Check && v.Advice.Reason == coach.Mistaken
	if believes && !b.Ordered && b.Since < b.rinsedWithin() && math.Abs(v.Settling.Now-scene.Neutral) < rinsedBy {
		v.Advice = Waits(v.Advice)
		return
	}
	f, bad := view.Unsound(v.Spotted)
	if !bad || !f.Outside || b.Since > putInWithin {
		return
	}
	v.Advice.Do, v.Advice.Reason = coach.Wait, coach.Settling
}

// far asks whether the electrode is in the beaker, before anything is ordered on a
// reading that is far from where the plan has the beaker start, or anybody is accused by it:
// an electrode stands in a standard, in water or in its storage solution when a run is begun.
func (b *Before) far(v *view.View) (spot.Finding, bool) {
	believes := v.Advice.Do == coach.Add || v.Advice.Held() || v.Advice.Do == coach.Check && v.Advice.Reason == coach.Mistaken
	y := v.Settling.Now
	off := math.Max(b.Foretold.Low-y, y-b.Foretold.High)
	f, _ := spot.Named("spot:" + string(spot.WrongSalt))
	if !believes || b.Ordered || b.PutIn || !(off > farFromStart) || slices.ContainsFunc(b.Looked, func(c string) bool { return slices.Contains(Codes, c) }) {
		return f, false
	}
	f.T, f.Bad, f.Outside = v.T, true, true
	f.Evidence = fmt.Sprintf("the reading is %.2f, where %.1f to %.1f is expected", y, b.Foretold.Low, b.Foretold.High)
	f.Try = "i when the electrode is in the beaker; c: it is, something was given already; y: another salt is in it"
	return f, true
}

// rinsedWithin is how long a reading about that of the standard is waited for, s.
func (b *Before) rinsedWithin() float64 {
	if b.Foretold.High-b.Foretold.Low > wideStart {
		return putInWithin
	}
	return rinsedFor
}

// Waits is an advice that waits for the reading instead.
func Waits(a coach.Advice) coach.Advice {
	return coach.Advice{Do: coach.Wait, Reason: coach.Settling, Aim: a.Aim, Tolerance: a.Tolerance}
}
