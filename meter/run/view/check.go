package view

import (
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/spot"
)

// Reply is one answer to a CHECK.
type Reply struct {
	Key   string // on the screen; what a program sends stands in the help of advise
	Short string // beside the key
	Does  string // to the belief
	Next  string // what is said next
}

// Question is a CHECK with what a person is asked to look at, and the answers to it.
type Question struct {
	Of      string // the reason of the check, or the beginning of the code of what it names
	Asks    string // what is asked
	Look    string // at what
	Replies []Reply
}

// The replies that most questions have.
var (
	asPlanned = Reply{"c", "as planned", "that hypothesis keeps 2 % of its prior, and none once it has been checked twice", "the next addition by the hypotheses left; the same is not asked again before another addition"}
	amends    = Reply{"y", "yes, that is it", "the plan is amended, by an event that u withdraws: belief, aim, record and label follow it", "the next addition by the amended plan"}
	mended    = Reply{"y", "it was, now put right", "what was read of this composition is forgotten; of electrode and scale, all that was read", "wait for the readings that come now"}
	bottle    = Reply{"+", "another bottle", "another titrant is available; what was named stays open, and is not asked again before another addition", "the next addition, from it where it serves"}
	withdraw  = Reply{"u", "withdraw", "the addition was not made", "the next addition without it"}
	keyIn     = Reply{"0-9", "enter it", "it is in the beaker, and explains the reading", "wait for the reading after it, then the next addition"}
)

// Questions are all that a CHECK can ask, with all answers. What a person can do at the
// plate in any case, such as to end the run, is not among them.
var Questions = []Question{
	{"other_form", "another salt in the beaker", "the label of the jar", []Reply{asPlanned, amends}},
	{"other_hydrate", "another hydrate in the beaker", "the formula on the jar", []Reply{asPlanned, amends}},
	{"amount", "another amount in the beaker", "the weighing notes", []Reply{asPlanned, amends}},
	{recipe.Absent, "no buffer in the beaker", "whether it was put in: the jar, the weighing boat",
		[]Reply{{"c", "it is in", asPlanned.Does, asPlanned.Next},
			{"y", "it goes in now", "what was read without it is forgotten", "wait for the readings that come now"}}},
	{coach.Another, "a beaker that answers as nothing in the plan does", "the labels of jar and bottles, and what went in",
		[]Reply{{"c", "as planned", "it is not asked again", "the next addition by what was measured"},
			{"y", "another substance", "the plan's content counts no more, as of a beaker that nobody weighed; u withdraws it", "the next addition by what was measured"}}},
	{"exchanged", "two salts exchanged", "the labels of both jars", []Reply{asPlanned, amends}},
	{"stock", "a bottle of another strength", "the label of the bottle and its date", []Reply{asPlanned, amends, bottle}},
	{"kind", "an acid for a base, or a base for an acid", "the label of the bottle", []Reply{asPlanned, amends, bottle}},
	{"missed", "an addition that did not reach the beaker", "the wall of the beaker and the tip of the dropper",
		[]Reply{{"c", "it is in", asPlanned.Does, asPlanned.Next}, {"y", "it missed", "the addition is withdrawn", "the next addition without it"}}},
	{"unlogged", "something given that is not on record", "the bottles, and ask who else was at the plate",
		[]Reply{{"c", "nothing was", asPlanned.Does, asPlanned.Next},
			{"y", "yes, not known how much", "what was read before says nothing of the charge in the beaker now; u withdraws it", "the next addition by the readings since"}, keyIn}},
	{"bottle", "an addition from another bottle than is on record", "which bottle is open, and what is left in each",
		[]Reply{{"c", "it is as recorded", asPlanned.Does, asPlanned.Next}, {"y", "it was that one", "the record is corrected", "the next addition by what was given"}}},
	{"electrode", "an electrode that does not follow the beaker", "cap, cable, plug and bulb",
		[]Reply{{"c", "it is well", asPlanned.Does, asPlanned.Next}, {"y", "it was, is changed", "all that was read is forgotten, and what was learned of the electrode", "wait for the readings that come now"}}},
	{"faulty", "a reading that is not that of the beaker", "what the words say: bulb, junction, cable, stirrer",
		[]Reply{{"c", "it is well", "the sign is passed over for the rest of the run", "the next addition by the readings as they are"}, mended}},
	{"wrong_salt", "a first reading far from where the plan starts", "whether the electrode is in the beaker, what was given before, and the jar",
		[]Reply{{"i", "it is in now", "what was read before is forgotten", "wait for the readings that come now"},
			{"c", "it was in", "the reading is taken for that of the beaker, whatever moved it", "the next addition by it"},
			{"y", "another salt", "the reading is taken for that of the beaker, and the plan is doubted", "which salt it is, where the readings tell; else the next addition by them"}}},
	{"moved", "a reading that went elsewhere by itself", "whether something fell, or the electrode was out",
		[]Reply{{"c", "carry on from here", "what was read before says nothing of the charge in the beaker now", "the next addition by the readings since"}, keyIn,
			{"i", "electrode was out", "what was read while it was out is forgotten", "wait for the readings that come now"}}},
	{"stuck", "a reading that does not move where it must", "hold on the meter, cap, stirrer, and whether the drops fell in",
		[]Reply{{"c", "all is well", "the reading is taken as true until the next addition", "the next addition, or what the coach makes of no response"}, withdraw,
			{"i", "it runs again", "what was read while it stood is forgotten", "wait for the readings that come now"}}},
	{"calibration", "a calibration that is not good enough to end on", "what is said of it",
		[]Reply{{"c", "end on it", "nothing; the record says that it was accepted", "done"}}},
	{"no_room", "what is needed does not fit under the mark", "whether the vessel holds more, and the buffer may be thinner",
		[]Reply{{"c", "a larger volume", "the new mark is asked for, and amends the plan: a thinner buffer, and its aim", "the next addition"}}},
	{"no_titrant", "no bottle here moves the pH the right way", "the bottles available",
		[]Reply{bottle, {"c", "none", "nothing", "wait for another bottle, or the end of the run as it stands"}}},
	{"no_way_back", "past the aim, and no bottle here titrates back", "the bottles available",
		[]Reply{bottle, {"c", "none", "nothing", "wait for another bottle, or the end of the run as it stands"}}},
	{"drop_too_big", "one drop is too much", "a weaker bottle, or a dropper with smaller drops",
		[]Reply{{"c", "give it", "the chance that was said is agreed to", "one drop, or half of one; where none brings it nearer, wait for another bottle"}, bottle}},
	{"many_drops", "more drops than anybody counts", "whether a stronger bottle is available",
		[]Reply{bottle, {"c", "in portions", "nothing", "the next addition, no larger than can be counted"}}},
	{"given", "whether what was ordered was given", "the beaker, and what you remember",
		[]Reply{{"Enter", "yes", "it is in the beaker", "the next addition"}, keyIn, {"t", "another bottle", "it was that one", "the amount is asked for"}, {"n", "nothing", "the reading moved by something else", "wait, then the next addition"}}},
	{"misfit", "readings that fit no amount of the substance planned", "substance, hydrate, record and meter",
		[]Reply{{"c", "as planned", "the spread of the answer is widened by it", "the next addition"}}},
	{"no_point", "no equivalence point within the vessel", "the titrant, and whether the sample is in",
		[]Reply{{"c", "as planned", "nothing", "the next addition"}, bottle}},
}

// AtFirst is the code of a first reading far from where the plan starts.
const AtFirst = "spot:" + string(spot.WrongSalt)

// QuestionOf is the question of a code, or of a reason.
func QuestionOf(code string) *Question {
	head, _, _ := strings.Cut(code, ":")
	if code == AtFirst {
		head = string(spot.WrongSalt)
	} else if head == "spot" {
		head = coach.Faulty.String()
	}
	if i := slices.IndexFunc(Questions, func(q Question) bool { return q.Of == head }); i >= 0 {
		return &Questions[i]
	}
	return nil
}

// Question is what a CHECK in sight asks; nil when there is none.
func (v View) Question() *Question {
	if v.Advice.Do != coach.Check {
		return nil
	}
	if f, bad := Unsound(v.Spotted); v.Advice.Reason == coach.Faulty && bad {
		return QuestionOf(f.Code())
	}
	if v.Advice.Reason == coach.Mistaken && len(v.Advice.Mistakes) > 0 {
		return QuestionOf(v.Advice.Mistakes[0].Code)
	}
	return QuestionOf(v.Advice.Reason.String())
}

// Replies are the answers to a CHECK in sight. With several mistakes named, those
// that fit all of them, and yes to one.
func (v View) Replies() []Reply {
	q := v.Question()
	if q == nil {
		return nil
	}
	if f, bad := Unsound(v.Spotted); q.Of == coach.Faulty.String() && bad && f.Outside { // whether it is in the beaker: nothing is put right
		return QuestionOf(AtFirst).Replies[:2]
	}
	if q.Of == coach.DropTooBig.String() && v.Instead == nil { // none brings it nearer
		out := slices.Clone(q.Replies)
		out[0].Short = "leave it so"
		return out
	}
	if len(v.Advice.Mistakes) < 2 {
		return q.Replies
	}
	out := []Reply{asPlanned, amends}
	out[1].Short = "it is one of them"
	for _, m := range v.Advice.Mistakes {
		if q := QuestionOf(m.Code); q != nil && slices.Contains(q.Replies, bottle) {
			return append(out, bottle)
		}
	}
	return out
}

// looksAt is what a person is asked to look at by a CHECK that names mistakes.
func (v View) looksAt() string {
	var out []string
	for _, m := range v.Advice.Mistakes {
		if q := QuestionOf(m.Code); q != nil && !slices.Contains(out, q.Look) {
			out = append(out, q.Look)
		}
	}
	if words := v.dropLook(); words != "" {
		out = append(out, words)
	}
	return strings.Join(out, "; ")
}

// dropLook is what to look at where drops of another size would explain the readings as
// well as the mistakes that are named; empty where they would not: the readings tell only
// how much base or acid a drop brought per buffer.
func (v View) dropLook() string {
	less, more := false, false
	for _, m := range v.Advice.Mistakes {
		switch times := v.perDrop(m.Code); {
		case times > 1 && times <= dropsMost:
			more = true
		case times < 1 && times >= 1/dropsMost:
			less = true
		}
	}
	switch {
	case less && !more:
		return "the dropper (smaller drops look the same: weigh 20)"
	case more && !less:
		return "the dropper (larger drops look the same: weigh 20)"
	}
	return ""
}

// dropsMost is how many times larger or smaller than planned drops may be (common
// practice, no source: tips of Pasteur pipettes give 20 to 60 µL).
const dropsMost = 3.0

// perDrop is how many times as much per buffer each drop brings in the account of a code
// as in the plan; 1 where the code says nothing of it, or nothing is given in drops.
func (v View) perDrop(code string) float64 {
	head, rest, _ := strings.Cut(code, ":")
	what, last := "", rest
	if i := strings.LastIndexByte(rest, ':'); i >= 0 {
		what, last = rest[:i], rest[i+1:]
	}
	times, err := strconv.ParseFloat(last, 64)
	if err != nil || times <= 0 {
		return 1
	}
	for j, name := range v.Titrants {
		if byML := j < len(v.InML) && v.InML[j]; byML {
			continue
		}
		switch {
		case head == "stock" && what == name:
			return times
		case head == "amount":
			return 1 / times
		}
	}
	return 1
}

// Codes are what a CHECK in sight is about, for an answer to name.
func (v View) Codes() []string {
	out := v.Advice.Codes()
	for _, f := range v.Spotted {
		if c := f.Code(); !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// Named are what a CHECK in sight may be about, by code and name: what yes says of it.
func (v View) Named() (out [][2]string) {
	if v.Advice.Do != coach.Check {
		return nil
	}
	for _, m := range v.Advice.Mistakes {
		out = append(out, [2]string{m.Code, m.Name})
	}
	if v.Advice.Reason == coach.Faulty {
		if f, bad := Unsound(v.Spotted); bad {
			out = append(out, [2]string{f.Code(), f.Evidence})
		}
	}
	return out
}

// Called is what a code of the CHECK in sight is called, the code itself where it has no
// name; false when the check is not about it.
func (v View) Called(code string) (string, bool) {
	for _, n := range v.Named() {
		if n[0] == code {
			return n[1], true
		}
	}
	return code, slices.Contains(v.Codes(), code)
}

// Unsound is the weightiest finding that forbids an addition now.
func Unsound(list []spot.Finding) (spot.Finding, bool) {
	i := slices.IndexFunc(list, func(f spot.Finding) bool { return f.Bad })
	if i < 0 {
		return spot.Finding{}, false
	}
	return list[i], true
}
