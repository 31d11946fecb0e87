package run

import (
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// looked is one look of a person for a mistake that a CHECK named, and that was not
// found.
type looked struct {
	code  string
	seq   int64 // of the addition that the code is about; 0 when it is about none
	after int64 // the latest addition in force then; 0 before one
	open  bool  // it was not looked for: another bottle was brought instead
}

// lookedFor notes that a person has looked for mistakes and found none.
func (s State) lookedFor(codes []string) State { return s.leftAlone(codes, false) }

// leftAlone notes that mistakes are not asked about again before another addition;
// open when nobody has looked for them.
func (s State) leftAlone(codes []string, open bool) State {
	latest := s.entries.LatestSeq()
	for _, code := range codes {
		l := looked{code: code, after: latest, open: open}
		var k int
		if scanned(code, "missed:%d", &k) || scanned(code, "unlogged:%d", &k) {
			en, ok := s.entries.InPosition(k)
			if !ok {
				continue
			}
			l.seq = en.Seq
		}
		s.looks = append(slices.Clip(s.looks), l)
	}
	return s
}

// known notes that the eye, which sees only readings, need not ask for what a person
// has already said of a bottle: the same cause has another name there.
func (s State) known(codes ...string) State {
	for _, code := range codes {
		if strings.HasPrefix(code, "kind:") {
			s.confirmed = append(slices.Clip(s.confirmed), "spot:"+string(spot.WrongTitrant))
		}
	}
	return s
}

// askedOf are the mistakes of the coach's list that a finding is another name of.
func (s *State) askedOf(f spot.Finding) (out []string) {
	switch f.Fault {
	case spot.WrongTitrant:
		for _, st := range s.Setup.Stocks {
			out = append(out, "kind:"+st.Name)
		}
	case spot.Cap, spot.Cracked, spot.Lead:
		out = append(out, "electrode")
	}
	return out
}

// codeOf is the code as the coach counts additions now; empty when its addition is
// withdrawn.
func (s *State) codeOf(l looked) string {
	if l.seq == 0 {
		return l.code
	}
	for i, en := range s.entries {
		if en.Seq == l.seq && !en.Undone {
			head, _, _ := strings.Cut(l.code, ":")
			return fmt.Sprintf("%s:%d", head, s.entries.Position(i)+1)
		}
	}
	return ""
}

// lookedAt are the codes of all looks, for the belief.
func (s *State) lookedAt() (out []string) {
	for _, l := range s.looks {
		if c := s.codeOf(l); c != "" && !l.open {
			out = append(out, c)
		}
	}
	return out
}

// passedOver are the codes that are not asked about again on this composition, and
// what a person has agreed to.
func (s *State) passedOver() (out []string) {
	latest := s.entries.LatestSeq()
	for _, l := range s.looks {
		if c := s.codeOf(l); c != "" && l.after == latest {
			out = append(out, c)
		}
	}
	return append(out, s.confirmed...)
}

// stale reports whether a look was for what an amendment has made another question.
func (l looked) stale(a *journal.Amendment) bool {
	head, _, _ := strings.Cut(l.code, ":")
	switch head {
	case "missed", "unlogged", "electrode":
		return false
	case "stock", "kind":
		return len(a.Titrant) > 0
	}
	return len(a.Weighed) > 0
}

// jump is the addition in force, from 1, around which something is known to have
// happened off the record, the latest; and the one before it, 0 for none.
func (s *State) jump() (latest, before int) {
	for i, en := range s.entries {
		if en.Undone || !slices.Contains(s.jumps(), en.Seq) {
			continue
		}
		latest, before = s.entries.Position(i)+1, latest
	}
	return latest, before
}

// jumps are the additions around which something happened off the record: a person
// said so, or the reading went elsewhere by itself and is gone on from.
func (s *State) jumps() []int64 {
	out := slices.Clone(s.moved)
	for _, a := range s.amends {
		if a.Seq != 0 {
			out = append(out, a.Seq)
		}
	}
	return out
}

// question is a CHECK of the coach that is on the screen: since when, s, and on what
// reading it was first asked.
type question struct {
	t   float64
	est probe.Estimate
}

// asksFor is how long a question of the coach stays, s, when the coach would rather wait
// now: at the edge of asking, it would else come and go before anybody has read it. An
// addition, the end, or an answer ends it at once.
const asksFor = 20.0

// stillAsked keeps a CHECK on the screen until it is answered: a reading that is a
// little vaguer, or a suspicion a little weaker for a second, is no answer.
func (s *State) stillAsked(est probe.Estimate, a coach.Advice) coach.Advice {
	if a.Do != coach.Wait || a.Reason != coach.Settling && a.Reason != coach.HandsOff || !s.isAsked() {
		return a
	}
	r := s.request(est)
	r.Now.Settled, r.Now.Stands = true, true
	if b := s.bench.Advise(r); b.Do == coach.Check && b.Reason.String() == s.advice.Reason {
		return b
	}
	if s.T-s.asks.t >= asksFor || s.track.Changing() {
		return a
	}
	if b := s.bench.Advise(s.request(s.asks.est)); b.Do == coach.Check && b.Reason.String() == s.advice.Reason {
		return b
	}
	return a
}

// suspected are the mistakes that the coach has in mind now, by their codes.
func (s *State) suspected() []string {
	var v view.View
	if a := s.advise(&v, s.track.Estimate(s.T), s.T); a.Do == coach.Check && a.Reason == coach.Mistaken {
		return a.Codes()
	}
	return nil
}

// isAsked reports whether a CHECK is on the screen.
func (s *State) isAsked() bool { return s.advice != nil && s.advice.Do == coach.Check.String() }

// unasked is a CHECK without the mistakes that are not asked about again now, where it
// names others as well.
func (s *State) unasked(a coach.Advice) coach.Advice {
	if len(a.Mistakes) < 2 {
		return a
	}
	over := s.passedOver()
	left := slices.DeleteFunc(slices.Clone(a.Mistakes), func(m coach.Mistake) bool { return slices.Contains(over, m.Code) })
	if len(left) > 0 {
		a.Mistakes = left
	}
	return a
}

// unwilling is an advice that a person has looked at already, and that no answer but
// another bottle changes: it is said as what is waited for, and not asked again.
func (s *State) unwilling(a coach.Advice) coach.Advice {
	if a.Do != coach.Check || !slices.Contains(s.confirmed, a.Reason.String()) {
		return a
	}
	switch a.Reason {
	case coach.DropTooBig: // there is more to agree to
		if i := slices.Index(s.confirmed, a.Reason.String()); slices.Contains(s.confirmed[i+1:], a.Reason.String()) {
			a.Do = coach.Wait
		}
	case coach.NoTitrant, coach.NoWayBack, coach.NoRoom, coach.Misfit, coach.NoPoint:
		a.Do = coach.Wait
	}
	return a
}
