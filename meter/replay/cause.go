package replay

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
)

// Cause is why a run went past its aim.
type Cause string

// The causes.
const (
	TooLarge  Cause = "dose"      // more was given than was safe on what was known
	Unsettled Cause = "unsettled" // given on a reading that was still on its way
	Stronger  Cause = "stronger"  // a drop brought more than the label says
	Unlogged  Cause = "unlogged"  // something fell that nobody recorded
	Drift     Cause = "drift"     // the reading wandered off with nothing added
	Unlucky   Cause = "chance"    // as advised, within the risk that the coach takes
	Unwatched Cause = "unwatched" // it happened while no readings came
	Amended   Cause = "amended"   // as the plan had it, which was then found to be wrong
	Exchanged Cause = "exchanged" // it moved the reading the other way: another bottle
	Withdrawn Cause = "withdrawn" // an addition was withdrawn that had fallen
)

// Overshoot is one passage beyond aim and tolerance.
type Overshoot struct {
	Step  int     `json:"addition"` // number of the addition that did it; 0 when none did
	T     float64 `json:"t"`
	PH    float64 `json:"ph"`   // where it settled
	Past  float64 `json:"past"` // beyond the aim, pH
	Aim   float64 `json:"aim"`
	Cause Cause   `json:"cause"`
	Words string  `json:"words"`

	Shown    float64 `json:"shown"`              // reading at the moment of the addition
	Was      float64 `json:"was"`                // what it was on its way to, as known afterwards
	Response float64 `json:"response,omitempty"` // charge as the readings have it, over that of the label

	Safe     *Dose  `json:"safe,omitempty"` // largest addition that was safe on what was known; nil for none
	SafeNote string `json:"safe_note"`
	Alone    bool   `json:"only_of_its_bottle,omitempty"` // for Stronger: no other addition of the bottle tells it from something that nobody recorded
	Named    string `json:"named,omitempty"`              // what the coach thought of the beaker by then or later
	Needed   int    `json:"coach_needs"`                  // additions of the coach from there to the aim; −1 where that cannot be told, −2 where these bottles do not get there
}

// Dose is an amount of a titrant.
type Dose struct {
	Titrant string  `json:"titrant"`
	Drops   float64 `json:"drops,omitempty"`
	ML      float64 `json:"ml"`
	PHAfter float64 `json:"ph_after"`
	PHLow   float64 `json:"ph_low"`
	PHHigh  float64 `json:"ph_high"`
}

// Figures of judgement, a choice of this project.
const (
	strong  = 1.3  // response from which on an addition did more than care explains
	alone   = 0.45 // share of the surplus below which the other additions are as labelled
	enough  = 0.10 // labelled charge of the others, over that of the one, to compare by
	surely  = 2.0  // spreads of the readings by which it must be more
	lagging = 0.02 // pH by which a reading must have been behind to blame it
)

// overshoots finds every passage beyond the aim in the direction of a move.
func (p *path) overshoots(r *Run, steps []Step) []Overshoot {
	out := []Overshoot{}
	for i := 1; i < len(p.stops); i++ {
		a, b := &p.stops[i-1], &p.stops[i]
		dir := math.Copysign(1, b.PH-a.PH)
		tol := b.within()
		aim, ph, most := b.Aim, b.PH, tol
		if v := r.end.AtLast(); i == len(p.stops)-1 {
			switch {
			case v.AtRest:
				ph, most = v.Read.PH, b.state.Setup.Tolerance // the record counts by it, to the digit
			case b.SD > goodEnough:
				most += surely * b.SD // nothing after it tells more
			}
		}
		if b.moved == dosed && otherWay(a, b) {
			aim = a.Aim // what was recorded, and the aim with it, is not what is in the beaker
		}
		if !(dir*(ph-aim) > most) || dir*(a.PH-a.Aim) > tol {
			continue
		}
		o := Overshoot{T: b.since, PH: ph, Past: dir * (ph - aim), Aim: aim, Shown: a.Shown, Was: a.PH, Response: b.response}
		for _, s := range steps {
			if b.seq != 0 && s.Seq == b.seq {
				o.Step, o.T = s.N, s.T
			}
		}
		o.Cause = p.cause(i, dir, b.Aim+dir*most)
		if w := withdrawnIn(steps, a.T, b.T); w != nil && o.Cause == Unlogged {
			o.Cause, o.Step, o.T = Withdrawn, w.N, w.T
		}
		if o.Cause == Stronger {
			_, told := p.compared(i)
			o.Alone = !told
		}
		if o.Cause == Stronger || o.Cause == TooLarge || o.Cause == Unlucky {
			o.Named = r.named(b.since)
		}
		if b.moved == dosed && o.Cause != Withdrawn {
			o.Safe, o.SafeNote = safeThen(a)
			o.Needed = p.coachFrom(i)
		}
		o.Words = o.words(a, b, p.otherToo(i))
		out = append(out, o)
	}
	return out
}

// withdrawnIn is an addition that was put on record between two times, and withdrawn.
func withdrawnIn(steps []Step, from, to float64) *Step {
	for i := range steps {
		if s := &steps[i]; s.Undone && s.T >= from && s.T <= to {
			return s
		}
	}
	return nil
}

// named is what the coach said of a mistake from a time on, the last that it said.
func (r *Run) named(from float64) string {
	for i := len(r.items) - 1; i >= 0 && r.items[i].t >= from; i-- {
		if k := r.items[i].other; k >= 0 && r.others[k].Kind == journal.Advised && r.others[k].Advice.Reason == coach.Mistaken.String() {
			return strings.Join(r.names(i), ", or ")
		}
	}
	return ""
}

// names are the mistakes that the advice of event i was about: as recorded, or by
// the state then, for journals from before they were.
func (r *Run) names(i int) []string {
	e := &r.others[r.items[i].other]
	if len(e.Advice.Named) > 0 {
		return e.Advice.Named
	}
	s := r.At(i)
	return s.Look(e.T).Record().Named
}

// otherWay reports whether an addition moved the reading against its bottle.
func otherWay(a, b *stop) bool {
	return b.charge*(b.PH-a.PH) < 0 && math.Abs(b.PH-a.PH) > math.Max(leastWander, 3*math.Hypot(a.SD, b.SD))
}

// cause decides why stop i lies beyond the aim, past a limit.
func (p *path) cause(i int, dir, limit float64) Cause {
	a, b := &p.stops[i-1], &p.stops[i]
	switch b.moved {
	case stepped:
		return Unlogged
	case drifted:
		return Drift
	case absent:
		return Unwatched
	}
	if otherWay(a, b) {
		return Exchanged
	}
	if misled(a, b, dir, limit) {
		return Amended
	}
	bench := b.state.Bench()
	passes := func(extra float64) bool {
		ph, ok := settled(bench, b.comp, extra)
		return ok && dir*(ph-limit) > 0
	}
	// With what the label says it would not have passed from where it stood: what
	// came in beside the label did it.
	surplus := b.response >= strong && b.sure >= surely && !passes(a.extra)
	if surplus && a.known {
		return p.surplus(i)
	}
	// It would not have passed from what the meter showed, which was on its way.
	told := asAdvised(a, b)
	if !told && a.lags(dir) && !passes(extraCharge(a.state.Bench(), a.est.Now, &a.comp)) {
		return Unsettled
	}
	if surplus {
		return p.surplus(i)
	}
	if told {
		return Unlucky
	}
	return TooLarge
}

// lags reports whether the meter was still behind, in a direction, when a stop was left.
func (s *stop) lags(dir float64) bool {
	return s.est.State != probe.Settled && dir*(s.PH-s.est.Now) > lagging
}

// amendment is what the plan was amended by between two stops.
func amendment(a, b *stop) string {
	if list := b.state.Amendments(); len(list) > len(a.state.Amendments()) {
		return list[len(list)-1].Name
	}
	return ""
}

// misled reports whether an addition that passes a limit would not have by the plan it was
// given by, which was amended afterwards and then explains it.
func misled(a, b *stop, dir, limit float64) bool {
	if amendment(a, b) == "" || b.response >= strong {
		return false
	}
	bench := a.state.Bench()
	ph, ok := settled(bench, a.comp.Plus(b.volume.Litres(), bench.Stocks[b.stock].PerLitre), a.extra)
	return ok && dir*(ph-limit) <= 0
}

// surplus tells a titrant that is stronger than its label, in every addition of
// it, from something that fell beside the one.
func (p *path) surplus(i int) Cause {
	if p.others(i) < math.Min(strong, 1+alone*(p.stops[i].response-1)) {
		return Unlogged
	}
	return Stronger
}

// otherToo reports whether the additions of another bottle did more than the label says as
// well: then it is the buffer that is less.
func (p *path) otherToo(i int) bool {
	for k := 1; k < len(p.stops); k++ {
		if s := &p.stops[k]; s.moved == dosed && s.stock != p.stops[i].stock && s.response >= strong && s.sure >= surely {
			return true
		}
	}
	return false
}

// others is the response to the other additions of the same titrant together;
// when too little of it was given, that of the addition itself.
func (p *path) others(i int) float64 {
	r, ok := p.compared(i)
	if !ok {
		return p.stops[i].response
	}
	return r
}

// compared is the response to the other additions of the same titrant together,
// when there are enough of them to compare by.
func (p *path) compared(i int) (float64, bool) {
	charge, extra := 0.0, 0.0
	for k := 1; k < len(p.stops); k++ {
		s := &p.stops[k]
		if k != i && s.moved == dosed && s.stock == p.stops[i].stock && s.response != 0 {
			charge += s.charge
			extra += s.extra - p.stops[k-1].extra
		}
	}
	if math.Abs(charge) < enough*math.Abs(p.stops[i].charge) {
		return 0, false
	}
	return 1 + extra/charge, true
}

// asAdvised reports whether the addition was no more than the advice allowed.
func asAdvised(a, b *stop) bool {
	_, _, adv := standing(a.state, a.T)
	return adv.Do == coach.Add && adv.Stock == b.stock && b.volume <= adv.Volume*1.001
}

// safeThen is the largest addition that was safe on what was known when stop a
// was left.
func safeThen(a *stop) (*Dose, string) {
	_, est, adv := standing(a.state, a.T)
	note := ""
	if adv.Do == coach.Wait {
		note = "to wait for a better reading"
		if est.State == probe.Empty {
			return nil, "to wait for a reading"
		}
		adv = a.state.Safe(a.T)
	}
	switch {
	case adv.Do == coach.Stop, adv.Do == coach.Wait && adv.Reason == coach.HandsOff:
		if math.Abs(a.PH-a.Aim) > a.within() { // known afterwards only
			return nil, fmt.Sprintf("nothing more: the reading was taken to end at %.2f, within the tolerance", est.End)
		}
		return nil, fmt.Sprintf("nothing more: it stood at %.2f, within the tolerance", a.PH)
	case adv.Do == coach.Check:
		return nil, "nothing yet: a check of what is wrong was due"
	case adv.Do == coach.Wait:
		return nil, "nothing yet: the reading was too vague to add anything"
	}
	return &Dose{Titrant: a.state.Setup.Stocks[adv.Stock].Name, Drops: adv.Drops, ML: adv.Volume.Millilitres(),
		PHAfter: adv.After, PHLow: adv.Low, PHHigh: adv.High}, note
}
