// Package answers is what a person has answered to the CHECKs of a run: what was looked at
// and found as planned, what was agreed to, and what turned out to be otherwise; pure.
package answers

import (
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/spot"
)

// Book are the answers of a run. It is a value: what adds an answer gives another.
type Book struct {
	codes  []string            // of what a person has looked at, or agreed to
	looks  []look              // for mistakes that were named
	moved  []int64             // additions in force when a reading went elsewhere by itself and was gone on from
	in     []int64             // additions after which a person said that the electrode is in
	amends []journal.Amendment // of the plan, in force
	begun  bool                // something was given before the first reading
}

// look is one look of a person for a mistake that a CHECK named, and that was not
// found.
type look struct {
	code  string
	seq   int64 // of the addition that the code is about; 0 when it is about none
	after int64 // the latest addition in force then; 0 before one
	open  bool  // it was not looked for: another bottle was brought instead
}

// Agree is with what a person has looked at, or agreed to, by its codes.
func (b Book) Agree(codes ...string) Book {
	b.codes = append(slices.Clip(b.codes), codes...)
	return b
}

// Begins is with a beaker to which something was given before the first reading.
func (b Book) Begins() Book {
	b.begun = true
	return b
}

// Begun reports whether something was given before the first reading, as a person has said.
func (b Book) Begun() bool { return b.begun }

// Codes are those of what a person has looked at, or agreed to. They must not be changed.
func (b Book) Codes() []string { return b.codes }

// LookedFor is with mistakes that a person has looked for and not found.
func (b Book) LookedFor(codes []string, list given.List) Book { return b.LeftAlone(codes, list, false) }

// LeftAlone is with mistakes that are not asked about again before another addition;
// open when nobody has looked for them.
func (b Book) LeftAlone(codes []string, list given.List, open bool) Book {
	latest := list.LatestSeq()
	for _, code := range codes {
		l := look{code: code, after: latest, open: open}
		if k, ok := Numbered(code); ok {
			en, ok := list.InPosition(k)
			if !ok {
				continue
			}
			l.seq = en.Seq
		}
		b.looks = append(slices.Clip(b.looks), l)
	}
	return b
}

// Numbered is the addition in force, from 1, that a code is about; false when it is about
// none.
func Numbered(code string) (k int, ok bool) {
	head, rest, _ := strings.Cut(code, ":")
	n, _, _ := strings.Cut(rest, ":")
	if head == Missed || head == Unlogged || head == FromBottle {
		k, err := strconv.Atoi(n)
		return k, err == nil
	}
	return 0, false
}

// Exchanged is the bottle that an addition was from by a code, instead of the one on record;
// empty for a code of another kind.
func Exchanged(code string) string {
	if p := strings.SplitN(code, ":", 3); len(p) == 3 && p[0] == FromBottle {
		return p[2]
	}
	return ""
}

// Heads of the codes that are about an addition.
const (
	Missed     = "missed"   // it did not reach the beaker
	Unlogged   = "unlogged" // more was given around it
	FromBottle = "bottle"   // it was from another bottle, whose name stands behind its number
)

// Known is with what the eye, which sees only readings, need not ask for because a person
// has already said it of a bottle: the same cause has another name there.
func (b Book) Known(codes ...string) Book {
	for _, code := range codes {
		if strings.HasPrefix(code, "kind:") {
			b = b.Agree(WrongTitrant)
		}
	}
	return b
}

// WrongTitrant is the code of the eye for a bottle that is another.
const WrongTitrant = "spot:" + string(spot.WrongTitrant)

// WentBy is with a reading that went elsewhere by itself after an addition, and is gone on
// from.
func (b Book) WentBy(seq int64) Book {
	b.moved = append(slices.Clip(b.moved), seq)
	return b
}

// IsIn is with the word of a person who was asked about the reading after an addition that
// the electrode is in the beaker: what it shows from here on is the beaker's.
func (b Book) IsIn(seq int64) Book {
	b.in = append(slices.Clip(b.in), seq)
	return b
}

// Believed reports whether a reading that went elsewhere after an addition was gone on from,
// or is that of the beaker by somebody's word.
func (b Book) Believed(seq int64) bool {
	return slices.Contains(b.moved, seq) || slices.Contains(b.in, seq)
}

// codeOf is the code as the coach counts additions now; empty when its addition is
// withdrawn.
func (l look) codeOf(list given.List) string {
	if l.seq == 0 {
		return l.code
	}
	for i, en := range list {
		if en.Seq == l.seq && !en.Undone {
			p := strings.SplitN(l.code, ":", 3)
			p[1] = strconv.Itoa(list.Position(i) + 1)
			return strings.Join(p, ":")
		}
	}
	return ""
}

// LookedAt are the codes of all looks, for the belief.
func (b Book) LookedAt(list given.List) (out []string) {
	for _, l := range b.looks {
		if c := l.codeOf(list); c != "" && !l.open {
			out = append(out, c)
		}
	}
	return out
}

// PassedOver are the codes that are not asked about again on this composition, and
// what a person has agreed to.
func (b Book) PassedOver(list given.List) (out []string) {
	latest := list.LatestSeq()
	for _, l := range b.looks {
		if c := l.codeOf(list); c != "" && l.after == latest {
			out = append(out, c)
		}
	}
	return append(out, b.codes...)
}

// Jump is the addition in force, from 1, around which something is known to have
// happened off the record, the latest; and the one before it, 0 for none.
func (b Book) Jump(list given.List) (latest, before int) {
	jumps := b.jumps()
	for i, en := range list {
		if en.Undone || !slices.Contains(jumps, en.Seq) {
			continue
		}
		latest, before = list.Position(i)+1, latest
	}
	return latest, before
}

// jumps are the additions around which something happened off the record: a person
// said so, or the reading went elsewhere by itself and is gone on from.
func (b Book) jumps() []int64 {
	out := slices.Clone(b.moved)
	for _, a := range b.amends {
		if a.Seq != 0 {
			out = append(out, a.Seq)
		}
	}
	return out
}

// Alias are the mistakes of the coach's list that a finding is another name of.
func Alias(f spot.Finding, setup *recipe.Setup) (out []string) {
	switch f.Fault {
	case spot.WrongTitrant:
		for _, st := range setup.Stocks {
			out = append(out, "kind:"+st.Name)
		}
	case spot.Cap, spot.Cracked, spot.Lead:
		out = append(out, "electrode")
	}
	return out
}

// Unasked is a CHECK without the mistakes that are not asked about again now, where it
// names others as well.
func (b Book) Unasked(a coach.Advice, list given.List) coach.Advice {
	if len(a.Mistakes) < 2 {
		return a
	}
	over := b.PassedOver(list)
	left := slices.DeleteFunc(slices.Clone(a.Mistakes), func(m coach.Mistake) bool { return slices.Contains(over, m.Code) })
	if len(left) > 0 {
		a.Mistakes = left
	}
	return a
}

// Unwilling is an advice that a person has looked at already, and that no answer but
// another bottle changes: it is said as what is waited for, and not asked again.
func (b Book) Unwilling(a coach.Advice) coach.Advice {
	if a.Do != coach.Check || !slices.Contains(b.codes, a.Reason.String()) {
		return a
	}
	switch a.Reason {
	case coach.DropTooBig: // there is more to agree to
		if i := slices.Index(b.codes, a.Reason.String()); slices.Contains(b.codes[i+1:], a.Reason.String()) {
			a.Do = coach.Wait
		}
	case coach.NoTitrant, coach.NoWayBack, coach.NoRoom, coach.Misfit, coach.NoPoint:
		a.Do = coach.Wait
	}
	return a
}
