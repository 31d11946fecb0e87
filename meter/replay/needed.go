package replay

import (
	"math"

	"example.org/halfdrop/chem/coach"
)

// waited is how long a reading was waited for that stands for one at rest, s: longer than the
// coach holds back what is safe.
const waited = 300.0

// mostNeeded ends a search for the coach's way: nobody has seen it need more of a beaker
// that is as the search takes it to be.
const mostNeeded = 12

// What coachFrom is where it is no number.
const (
	untold = -1 // it cannot be told
	stuck  = -2 // these bottles do not get there
)

// coachFrom is how many additions the coach would have needed from the stop
// before i, with what was known then, in the beaker as it turned out to be.
func (p *path) coachFrom(i int) int {
	a := &p.stops[i-1]
	b := a.state.Bench()
	if b.Unweighed {
		return untold
	}
	sd := restSD(a.est.FinalSD, b.Tolerance)
	r := coach.Request{History: a.state.History(), Confirmed: a.state.Confirmed()}
	comp, extra, ph := a.comp, a.extra, a.PH
	for n := 0; n < mostNeeded; n++ {
		r.Now = coach.Present{PH: ph, SD: sd, FinalSD: sd, Settled: true, Age: waited}
		adv := b.Advise(r)
		for range 2 { // who has looked goes on; of a large drop there are two things to agree to
			if adv.Do != coach.Check || adv.Reason != coach.Mistaken && adv.Reason != coach.DropTooBig {
				break
			}
			r.Confirmed = append(r.Confirmed[:len(r.Confirmed):len(r.Confirmed)], adv.Codes()...)
			adv = b.Advise(r)
		}
		if adv.Do == coach.Stop || adv.Do == coach.Wait && adv.Reason == coach.HandsOff {
			return n
		}
		switch {
		case adv.Do == coach.Add:
		case adv.Do == coach.Check && adv.Reason >= coach.NoWayBack && adv.Reason <= coach.NoTitrant:
			return stuck
		default:
			return untold
		}
		dose := coach.Addition{Stock: adv.Stock, Volume: adv.Volume, Drops: adv.Drops}
		r.History.Observations = append(r.History.Observations[:len(r.History.Observations):len(r.History.Observations)],
			coach.Observation{After: len(r.History.Additions), PH: ph, SD: sd})
		r.History.Additions = append(r.History.Additions[:len(r.History.Additions):len(r.History.Additions)], dose)
		comp = comp.Plus(adv.Volume.Litres(), b.Stocks[adv.Stock].PerLitre)
		extra += (p.strength(adv.Stock, i) - 1) * b.LabelledCharge(dose)
		var ok bool
		if ph, ok = settled(b, comp, extra); !ok {
			return untold
		}
	}
	return untold
}

// restSD is the spread of a reading at rest, pH, of which so much is expected: a vaguer one
// than half the tolerance would have been waited for.
func restSD(final, tolerance float64) float64 {
	return math.Min(math.Max(final, 0.002), tolerance/2)
}

// strength is what a titrant turned out to bring, over its label: the
// additions of it together, or 1 when there were none.
func (p *path) strength(stock, i int) float64 {
	charge, extra := 0.0, 0.0
	for k := 1; k < len(p.stops); k++ {
		s := &p.stops[k]
		if s.moved != dosed || s.stock != stock || s.response == 0 {
			continue
		}
		if k == i && p.others(i) < 1+alone*(s.response-1) {
			continue // something else fell with this one
		}
		charge += s.charge
		extra += s.extra - p.stops[k-1].extra
	}
	if charge == 0 {
		return 1
	}
	return math.Min(math.Max(1+extra/charge, 0.05), 20)
}
