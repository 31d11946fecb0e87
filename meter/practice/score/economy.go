package score

import (
	"fmt"
	"math"
	"strconv"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
)

// unfinished is the mark of what counts only when the buffer has come out right.
func (j *judge) unfinished() (mark, bool) {
	if j.res.Sought != nil {
		return mark{0, "counts when the answer is right", j.res.Seconds, keepAnswering}, !j.arrived()
	}
	return mark{0, "counts when the buffer is in tolerance", j.res.Seconds, KeepFinishing}, !j.arrived()
}

// KeepFinishing keeps what counts only then.
const KeepFinishing = "getting the buffer into its tolerance first"

// arrived reports whether the buffer is in tolerance, or was at rest on the meter.
func (j *judge) arrived() bool {
	if j.res.Sought != nil {
		return j.res.In && len(j.c.Stops) > 0
	}
	near := math.Abs(j.res.Final-j.res.Target) <= 2*j.res.Tolerance+practice.HalfDigit
	return j.res.In && len(j.c.Stops) > 0 || near && j.view.InAim
}

// additions counts them against who needed fewest: those that were given as the
// coach would have given them cost nothing.
func (j *judge) additions() mark {
	if m, open := j.unfinished(); open {
		return m
	}
	all, told, worst := j.steps(), 0, 0.0
	for _, s := range j.view.Steps {
		if justAsTold(s) && !s.Undone {
			told++
		} else if worst == 0 && !s.Undone && asTold(s) {
			worst = s.T
		}
	}
	par := max(j.res.Limit.Additions, j.res.Coached.Additions)
	more := len(all) - max(par, told) - freeAdds
	share := (1 - float64(max(0, more))/float64(max(leastSpan, par))) * j.unasked()
	keep := "larger steps while the aim is far: work out the total, and give as much of it as is safe"
	if j.res.Sought != nil {
		keep = keepFewer
	}
	return mark{share, fmt.Sprintf("%s; %s%s", phrase.Counted(len(all), "addition"), j.others(func(p practice.Peer) string { return strconv.Itoa(p.Additions) }), j.askedWords()), worst,
		j.or(more > 0, keep)}
}

// or is what keeps the points of an item, or not asking when that was all.
func (j *judge) or(its bool, keep string) string {
	if its {
		return keep
	}
	return keepAsking
}

// others is what the peers needed, in words.
func (j *judge) others(need func(practice.Peer) string) string {
	if j.res.Sought != nil { // who knows the answer needs nothing
		return "the coach needed " + need(j.res.Coached)
	}
	return fmt.Sprintf("somebody who knew the bench would have needed %s, the coach %s", need(j.res.Limit), need(j.res.Coached))
}

func (j *judge) time() mark {
	if m, open := j.unfinished(); open {
		return m
	}
	l, c, speed := j.res.Limit, j.res.Coached, math.Max(j.slip.Speed, 0.1)
	par := math.Max(l.Seconds, c.Seconds) + speed*handling*float64(2+max(l.Additions, c.Additions))
	t := j.res.Seconds - j.firstReading()
	return mark{1 - (t/par-parTimes)/(2*parTimes), fmt.Sprintf("%s; %s not counting the time for adding",
		phrase.Clock(t), j.others(func(p practice.Peer) string { return phrase.Clock(p.Seconds) })), j.res.Seconds, "moving on as soon as the reading is good enough for the next step"}
}

// firstReading is when the time began to count: a calibration goes before, s.
func (j *judge) firstReading() float64 {
	for e := range j.run.Events {
		if e.Kind == journal.Read {
			return e.T
		}
	}
	return 0
}

// charge is what an amount of a titrant adds by its label, mol.
func (j *judge) charge(titrant string, ml float64) float64 {
	s := j.run.End()
	for k, stock := range s.Setup.Stocks {
		if stock.Name == titrant {
			return s.Bench().LabelledCharge(coach.Addition{Stock: k, Volume: chem.Volume(ml) * chem.Millilitre})
		}
	}
	return 0
}

// buffer is what there is to be titrated, mol.
func (j *judge) buffer() float64 {
	n := 0.0
	for _, c := range j.e.Bench.Contents {
		n += c.MMol * 1e-3
	}
	if n > 0 {
		return n
	}
	s := j.run.End()
	for _, t := range s.Setup.Content().Systems {
		n += float64(t.Amount)
	}
	return math.Max(n, 1e-9)
}

// wasted is acid and base that took each other away, mol.
func (j *judge) wasted() float64 {
	sum, size := 0.0, 0.0
	for _, st := range j.steps() {
		q := j.charge(st.Titrant, st.ML)
		sum, size = sum+q, size+math.Abs(q)
	}
	return (size - math.Abs(sum)) / 2
}

// salt counts acid and base that took each other away, and a beaker that has
// grown over its mark.
func (j *judge) salt() mark {
	if m, open := j.unfinished(); open {
		return m
	}
	v := j.run.End().Look(j.res.Seconds)
	if over := v.Volume - v.Final; over > 0 {
		return mark{0, fmt.Sprintf("%.1f mL over the mark: the buffer is thinner than planned", over.Millilitres()), j.res.Seconds, "the stronger bottle while the aim is far"}
	}
	waste := j.wasted()
	share := waste / j.buffer()
	if waste < 1e-9 {
		return mark{1, fmt.Sprintf("no acid and base used against each other, %.1f mL left under the mark", (v.Final - v.Volume).Millilitres()), 0, ""}
	}
	return mark{1 - (share-littleSalt)/(muchSalt-littleSalt), fmt.Sprintf("%.2g mmol of acid and base used against each other, %.0f %% of the buffer, left as salt", waste*1e3, share*100),
		j.turn(), "approaching the aim from one side"}
}

// turn is when an addition first went against the one before, s.
func (j *judge) turn() float64 {
	before := 0.0
	for _, s := range j.steps() {
		q := j.charge(s.Titrant, s.ML)
		if before*q < 0 {
			return s.T
		}
		before = q
	}
	return 0
}

// bottle judges for each addition which one was taken: towards the aim, and as
// strong as what is left of the way allows.
func (j *judge) bottle() mark {
	list := j.steps()
	if len(list) == 0 {
		return nothing
	}
	good, m := 0.0, mark{why: "towards the aim each time, and as strong as was safe"}
	for _, s := range list {
		part, why := j.choice(s)
		good += part
		if part < 1 && m.keep == "" {
			m.t, m.keep, m.why = s.T, why, fmt.Sprintf("at %s: %s", phrase.Clock(s.T), why)
		}
	}
	share := good / float64(len(list))
	if share < 1 {
		m.why = fmt.Sprintf("right in %.0f %% of %s; %s", 100*share, phrase.Counted(len(list), "addition"), m.why)
		m.keep = "first working out which way the aim lies, and how far: " + m.keep
	} else if j.res.Asked > 0 {
		m.why, m.keep, m.t = m.why+j.askedWords(), keepAsking, j.firstAsk()
	}
	m.share = share * j.unasked()
	return m
}

// choice is how right the bottle of an addition was, from 0 to 1, and why not.
func (j *judge) choice(s replay.Step) (float64, string) {
	q, from := j.charge(s.Titrant, 1), j.c.Start
	for k, st := range j.c.Stops {
		if st.Seq == s.Seq && k > 0 {
			from = j.c.Stops[k-1].InUse
		}
	}
	if left := j.res.Target - from; q*left < 0 && math.Abs(left) > j.res.Tolerance {
		return 0, s.Titrant + " led away from the aim"
	}
	if s.Advised.Do != coach.Add.String() || s.Advised.Titrant == s.Titrant {
		return 1, ""
	}
	other := j.charge(s.Advised.Titrant, 1)
	switch {
	case q*other < 0:
		return 1, "" // who knows better where it is
	case math.Abs(q) > math.Abs(other):
		return 0.5, fmt.Sprintf("%s is too strong so near the aim; %s was due", s.Titrant, s.Advised.Titrant)
	case s.Advised.Drops < practice.Coarse && s.Advised.Drops > 0:
		return 1, ""
	}
	return 0, fmt.Sprintf("%s is too weak so far from the aim; %s was due", s.Titrant, s.Advised.Titrant)
}
