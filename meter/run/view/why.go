package view

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/spot"
)

// Why is the reason of the advice in a sentence that a student understands.
func (v View) Why() string {
	if v.Silent != "" {
		return v.Silent
	}
	if len(v.Cautions) > 0 && (v.Advice.Do == coach.Stop || v.Advice.Reason == coach.NoReading) {
		text := v.reason() + "; note: " + v.Cautions[0]
		if v.Brought > 0 {
			text += "; " + v.Note
		}
		return text
	}
	text := v.reason()
	if note := v.otherNote(); note != "" {
		text += "; note: " + note
	}
	switch {
	case v.Falling != nil || !v.Ordered:
	case v.Was > 0:
		text = fmt.Sprintf("was %g, now %g: ", v.Was, v.Advice.Drops) + text
	case v.Advice.Drops == 0.5:
		text = "touch it to the wall and rinse it in; " + text
	}
	return text
}

func (v View) reason() string {
	a := v.Advice
	if v.Away != nil {
		return v.awayReason()
	}
	if v.Next != nil {
		return v.whyRead()
	}
	if text := v.findReason(); text != "" {
		return text
	}
	switch a.Reason {
	case coach.NoReading:
		return "rinse and blot the electrode, stir, and let the meter send its first readings"
	case coach.Settling:
		if f, bad := Unsound(v.Spotted); bad && f.Outside {
			return "press i when the electrode is in the beaker: " + f.Evidence
		}
		return v.settlingWords()
	case coach.HandsOff:
		return v.handsOffWords()
	case coach.Dosing:
		if a.Drops == 0 {
			return "Enter when all of it is in; n: nothing was given; the mL, such as 1.2m: that much"
		}
		return "Enter when all are in; n: nothing was given; a number: that many"
	case coach.Unsaid:
		switch {
		case v.Falling != nil && v.Falling.Past:
			return v.noMoreWords()
		case v.Falling != nil && v.Falling.Like > 0 && a.Drops == 0:
			return "the reading has moved as if by another amount: Enter if it was the order, else the mL, such as 1.2m; t: other bottle, n: nothing"
		case v.Falling != nil && v.Falling.Like > 0:
			return fmt.Sprintf("the reading has moved as if by %s: Enter if it was the order, else a number; t: other bottle, n: nothing", Amount(v.Falling.Like, a.Volume*chem.Volume(v.Falling.Like/a.Drops)))
		}
		if v.Falling != nil && v.Falling.Against {
			return fmt.Sprintf("it went the wrong way, to %s. Enter: given; t: from another bottle; n: nothing was; i: the electrode was out", v.ph(v.PH))
		}
		if v.Falling != nil && v.Falling.Left && v.Falling.Rinsed {
			return "the reading stands nearer than before the electrode was out: Enter if it was given, a number if another, n if nothing was"
		}
		if v.Falling != nil && v.Falling.Left {
			return "it was ordered when the run was interrupted: Enter if it was given, a number if another, n if nothing was"
		}
		if v.Falling != nil && v.Falling.Unseen {
			return "the reading has hardly moved, and nothing was recorded: Enter if it was given, n if nothing was"
		}
		return "the reading is at rest again and nothing was recorded: Enter if it was given, n if nothing was"
	case coach.Stale:
		return fmt.Sprintf("the last reading is %.0f s old; nothing is added on an old reading", v.Age)
	case coach.Faulty:
		return v.faultWords()
	case coach.Far:
		return fmt.Sprintf("%sexpected to land at %s, %s the aim", v.stepWords(), v.landing(), v.besideAim())
	case coach.Near:
		return fmt.Sprintf("expected to land within the tolerance, at %s", v.landing())
	case coach.Probe:
		return fmt.Sprintf("%sto test whether bottle and beaker are as planned; expected at %s, %s the aim", v.probeWords(), v.landing(), v.besideAim())
	case coach.Finer:
		return fmt.Sprintf("the weaker titrant is safer here; expected to land at %s", v.landing())
	case coach.InTolerance:
		if v.coarse() {
			return fmt.Sprintf("%s: read at rest; a display of %.*f cannot tell ±%s: it may be %s off", v.then(), v.Decimals, v.digit(), short(a.Tolerance), short(math.Abs(v.PH-a.Aim)+v.digit()/2))
		}
		return fmt.Sprintf("%s: read at rest, within ±%s of the aim%s", v.then(), short(a.Tolerance), v.shared())
	case coach.Past:
		if a.Salt == 0 {
			return fmt.Sprintf("%s; expected to land at %s", v.besideIt(), v.landing())
		}
		return fmt.Sprintf("%s; expected to land at %s; it leaves %s mmol of salt", v.besideIt(), v.landing(), chem.Digits(a.Salt*1e3, 2))
	case coach.NoWayBack:
		back := "an acid"
		if v.Settling.End < a.Aim {
			back = "a base"
		}
		return fmt.Sprintf("only %s leads back, and none is in use: + adds one; q ends the run as it stands", back)
	case coach.DropTooBig:
		return v.dropWords()
	case coach.Mistaken:
		yes, no := "that is it", "it is as planned"
		if v.Question().Of == recipe.Absent {
			yes, no = "it goes in now", "it is in"
		}
		return fmt.Sprintf("%.0f %% likely by the readings: check %s. y: %s, c: %s", math.Floor(a.Weight*100), v.looksAt(), yes, no)
	case coach.NoRoom:
		switch {
		case v.Mark > 0 && v.Unweighed:
			return fmt.Sprintf("what is still needed is much for this beaker. c: give on, up to %g mL in it; else + a stronger bottle, or q ends the run as it stands", v.Mark)
		case v.Mark > 0:
			return fmt.Sprintf("what is still needed does not fit under the mark. c: a larger volume, such as %g mL, and a thinner buffer; else q ends the run as it stands", v.Mark)
		}
		return "what is still needed does not fit even under twice the mark of the plan: check the bottle, and start again; c gives a little more"
	case coach.NoTitrant:
		if v.Aside != "" {
			return "none else here moves the pH the right way: + adds another bottle; c: there is some of it after all"
		}
		return "a base is titrated with acid, an acid with base: + adds another bottle"
	case coach.ManyDrops:
		return v.manyWords()
	case coach.Stuck:
		return "is the meter on hold, the cap off, the stirrer on, and did the drops fall in? u withdraws what did not, c: carry on; once the reading moves the run continues by itself"
	case coach.Unfit:
		return v.Cautions[0] + "; calibrate again, or c: end on it, for the record"
	case coach.Moved:
		if v.Turned != "" {
			return v.Turned + ": put the electrode back and press i; u: it was another bottle, record that; c: carry on from here"
		}
		return v.enterWhat() + ", or put the electrode back and press i, or c: carry on from here"
	}
	return ""
}

// silentFor is after how long a silence, s, somebody is told to lift an electrode: one that comes
// to rest pauses for some seconds between two digits.
const silentFor = 8.0

func (v View) faultWords() string {
	if f, bad := Unsound(v.Spotted); bad && v.Advice.Do == coach.Check {
		switch {
		case f.Outside: // it says what answers there are
			return f.Words()
		case f.Fault == spot.WrongSalt:
			return f.Words() + ". y: another salt is in it, c: it is as planned"
		}
		return f.Words() + ". y: it was, and has been put right, c: it is fine"
	}
	switch {
	case v.Link == "lost" || v.Link == "quiet":
		if v.LinkNote != "" && v.Link == "quiet" && v.Seldom && len(v.Entries) == 0 && !(v.HasReading && v.Age < silentFor) {
			return v.LinkNote + " If it sends only what changes, lift the electrode and put it back"
		}
		if v.LinkNote != "" {
			return v.LinkNote
		}
		return "no signal from the meter; check plug and power, the run continues by itself when it is back"
	case v.Refusal != "":
		return v.Refusal
	case v.Unused != "":
		return "nothing is added on " + v.Unused
	}
	return "the last reading cannot be a pH; check electrode and meter"
}

// surer is what a better reading is waited for, how long, and what to do instead.
func (v View) surer() string {
	o := v.Offer
	switch {
	case o == nil && v.ByHand && v.Settled():
		return "; another value makes the next step surer"
	case o == nil && v.Settled():
		return "; more readings make the next step surer"
	case o == nil && v.ByHand:
		return "; a better value makes the next step surer"
	case o == nil:
		return "; a better reading makes the next step surer"
	}
	within := fmt.Sprintf("; up to %.0f min for a better one", math.Ceil(math.Max(o.Wait, 1)/60))
	if o.Unsafe {
		return within + "; not one drop is safe yet. g: go by this one"
	}
	if o.Asks {
		return fmt.Sprintf("; it is not what the plan predicts. g: ask about it now, or up to %.0f min for a better one", math.Ceil(math.Max(o.Wait, 1)/60))
	}
	return fmt.Sprintf("%s. g: go ahead with %s of %s", within, Amount(o.Drops, o.Volume), o.Titrant)
}

// dropWords say what a drop that is too large would do.
func (v View) dropWords() string {
	a := v.Advice
	text := fmt.Sprintf("one more drop would move the pH by %.2g, %s your tolerance", a.OneDrop, times(a.OneDrop/a.Tolerance))
	i := v.Instead
	if i == nil {
		return text + ", and brings it no nearer: + another bottle, ten times weaker, or a dropper with smaller drops"
	}
	return fmt.Sprintf("%s: + a weaker bottle; or c: %s of %s, to %s, past the tolerance with a chance of %s",
		text, Amount(i.Drops, i.Volume), i.Titrant, v.ph(i.After), percents(i.Chance))
}

// told is the share of the tolerance from which on it is said who takes it (a choice).
const told = 0.1

// shared says what of the tolerance the coach left to the calibration.
func (v View) shared() string {
	whole := v.Advice.Tolerance + v.Share
	if v.Share < told*whole {
		return ""
	}
	return fmt.Sprintf(" (the calibration takes the rest of ±%s)", short(whole))
}

// then is what is left to do with a finished solution: the mark of one that nobody weighed is
// not known.
func (v View) then() string {
	words := "make up to the mark, check and label"
	if v.Unweighed {
		words = "check and label"
	}
	if len(v.Waiting) > 0 {
		words = "add " + strings.Join(v.Waiting, " and ") + ", " + words
	}
	if v.Doubtful != "" { // what is made up cannot be taken back
		return "check the calibration first, then " + words
	}
	return words
}

// noMoreWords say what to do in the middle of an addition that did more than it should.
func (v View) noMoreWords() string {
	number := "the number that fell"
	if v.Advice.Drops == 0 {
		number = "the mL, such as 1.2m"
	}
	return fmt.Sprintf("%s is past the aim of %s: Enter if all of it was in, else %s; t: other bottle, n: nothing", v.ph(v.PH), v.ph(v.Advice.Aim), number)
}

// manyWords say what helps where more drops are needed than anybody counts.
func (v View) manyWords() string {
	a, of := v.Advice, " of "+v.Titrants[v.Advice.Stock]
	text := Millilitres(a.Volume) + " mL" + of + " are too much to count: "
	if v.Stronger != "" {
		text += "+ a stronger bottle, such as " + v.Stronger + "; "
	}
	return text + "c: in portions"
}

// whyRead is why a value is wanted.
func (v View) whyRead() string {
	const how = "Enter if it is still moving, s once it is steady"
	e := v.Settling
	switch {
	case v.Advice.Reason == coach.NoReading && !v.Measured:
		return fmt.Sprintf("rinse and blot the electrode, stir; if it is not at %.3g °C, type the temperature first, as in 21.5C; then what the display shows, such as 7.42: ", float64(v.BenchTemp)) + how
	case v.Advice.Reason == coach.NoReading:
		return "rinse and blot the electrode, stir; then what the display shows, such as 7.42: " + how
	case v.Advice.Reason == coach.Stale:
		return fmt.Sprintf("the last value is %.0f min old; nothing is added on an old value: %s", math.Floor(v.Age/60), how)
	case v.Advice.Reason == coach.Faulty:
		return v.faultWords()
	case v.Next.Stands:
		if v.outside() {
			return fmt.Sprintf("%s; a steady value decides: type it and s", v.atTheEdge(v.end(), v.endSpread()))
		}
		return fmt.Sprintf("%s ± %s is within the tolerance of %s, and may creep on: it counts once the display has stood for a while; then the value and s", v.end(), v.endSpread(), v.ph(v.Advice.Aim))
	case v.Next.Mixing:
		return "let it mix: " + how
	case v.Next.Creeps:
		return fmt.Sprintf("it looks steady, and still creeps to %s ± %s; a better value would change the advice: %s", v.end(), v.endSpread(), how)
	case e.SD >= VagueSD:
		return "too early to say where it will end: " + how
	}
	return fmt.Sprintf("%s %s ± %s%s: %s", v.course(), v.end(), v.endSpread(), v.surer(), how)
}

// awayReason is why, or what is known so far.
func (v View) awayReason() string {
	const rinse = "rinse and blot, "
	w := v.Away
	switch {
	case w.Stage == walk.Immerse && v.ByHand:
		return rinse + w.portion() + "; type what the display shows once it is steady"
	case w.Stage == walk.Immerse:
		return rinse + w.portion() + "; Enter when it is in, Esc ends the check"
	case w.Stage == walk.Ask && v.ByHand:
		return ended(w.Odd) + "type it again, or c takes the value"
	case w.Stage == walk.Ask:
		return ended(w.Odd) + "Enter when it is in again, c takes the value, Esc ends the check"
	case w.Stage == walk.Done && w.Verdict != nil:
		return w.Verdict.Summary() + "; it changes no reading. Rinse and blot; Enter when it is back"
	case w.Stage == walk.Done:
		return "nothing was read in a standard; rinse and blot; Enter when it is back"
	case math.IsNaN(w.End):
		return "too early to say where it will end; it is taken automatically"
	}
	return fmt.Sprintf("on its way to %.2f ± %.2f; it is taken automatically", w.End, math.Max(w.SD, 0.01))
}

// portion says what to pour. What a label is off by is no shift when both were poured
// from one bottle, and would be taken for one when they were not.
func (w *Away) portion() string {
	if w.Known {
		return "fresh portion from the bottle used for the calibration"
	}
	return "fresh portion at bench temperature"
}

// ended is a sentence with what parts it from the next words.
func ended(text string) string {
	if strings.HasSuffix(text, "?") {
		return text + " "
	}
	return text + "; "
}

// PickupWords are said of a meter that shows two lines.
const PickupWords = "the reading jumps between two lines: electrical pick-up; the lower one counts. Move the electrode's cable away from mains, stirrer and heater; is its plug home and dry?"
