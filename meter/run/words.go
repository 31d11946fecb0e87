package run

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
)

// manyDrops is how many drops are better spoken of in mL.
const manyDrops = 40

// Sentence is what to do now, beginning with WAIT, ADD, ADDING, GIVEN?, HANDS OFF,
// DONE, CHECK, DIP or BACK.
func (v View) Sentence() string {
	a := v.Advice
	if v.Silent != "" {
		return "YOU decide: what to add, how much, or to wait"
	}
	if v.Away != nil {
		return v.awaySentence()
	}
	switch a.Do {
	case coach.Add:
		if v.Falling != nil {
			return "ADDING " + Amount(a.Drops, a.Volume) + " of " + v.Titrant
		}
		return "ADD " + Amount(a.Drops, a.Volume) + " of " + v.Titrant
	case coach.Stop:
		if v.Doubtful != "" {
			return v.doneWords() + ", but " + v.Doubtful
		}
		return v.doneWords()
	case coach.Check:
		if a.Reason == coach.Unsaid {
			return "GIVEN? " + v.checkWords()
		}
		return "CHECK " + v.checkWords()
	}
	if v.Next != nil {
		return v.readWords()
	}
	if a.Reason == coach.HandsOff {
		return "HANDS OFF, it will end at " + v.ph(v.Settling.End)
	}
	return "WAIT " + v.waitWords()
}

func (v View) doneWords() string {
	if v.Found != nil {
		return "DONE, " + v.Found.Words()
	}
	if !v.AtRest {
		return "DONE, the aim is reached"
	}
	return "DONE, read " + v.ph(v.Read.PH)
}

// Amount puts a dose into words: drops, and mL as well above 40 drops.
func Amount(drops float64, vol chem.Volume) string {
	switch {
	case drops <= 0:
		return scale(vol) + " mL"
	case drops == 1:
		return "1 drop"
	case drops == 0.5:
		return "half a drop"
	case drops > manyDrops:
		return fmt.Sprintf("%s mL (%.0f drops)", millilitres(vol), drops)
	}
	return fmt.Sprintf("%g drops", drops)
}

// pickupWords are said of a meter that shows two lines.
const pickupWords = "the reading jumps between two lines: electrical pick-up; the lower one counts. Move the electrode's cable away from mains, stirrer and heater, and check that its plug is home and dry"

// scale is a volume as it is set on the scale of a burette or a pipette: none of its digits
// is left out, as a step of 0.05 mL is 0.2 % of 25 mL.
func scale(v chem.Volume) string {
	ml := math.Round(1e3*v.Millilitres()) / 1e3
	text := strconv.FormatFloat(ml, 'f', -1, 64)
	if _, frac, _ := strings.Cut(text, "."); ml < 100 && len(frac) < 2 {
		text = fmt.Sprintf("%.2f", ml)
	}
	return text
}

func millilitres(v chem.Volume) string {
	ml := v.Millilitres()
	switch {
	case ml >= 100:
		return fmt.Sprintf("%.0f", ml)
	case ml >= 10:
		return fmt.Sprintf("%.1f", ml)
	}
	return fmt.Sprintf("%.2f", ml)
}

func (v View) waitWords() string {
	switch v.Advice.Reason {
	case coach.NoReading:
		return "for the first reading"
	case coach.Stale:
		return "no reading from the meter"
	case coach.Faulty:
		if v.Unread {
			return "the meter's lines cannot be read"
		}
		if v.Link == "lost" || v.Link == "quiet" {
			return "no signal from the meter"
		}
		return "the reading cannot be used"
	}
	switch v.Advice.Reason {
	case coach.NoTitrant, coach.NoWayBack, coach.DropTooBig, coach.NoRoom:
		return "for another bottle"
	case coach.Misfit, coach.NoPoint:
		return "for a reading that tells more"
	}
	if v.Settling.State == probe.Moving {
		return "the reading is moving"
	}
	return "for the reading to settle"
}

func (v View) checkWords() string {
	switch v.Advice.Reason {
	case coach.Mistaken:
		names := make([]string, len(v.Advice.Mistakes))
		for i, m := range v.Advice.Mistakes {
			names[i] = m.Name
		}
		return "this looks like " + strings.Join(names, ", or ")
	case coach.Faulty:
		return "the reading is not that of the beaker"
	case coach.NoRoom:
		return "the room left under the mark"
	case coach.NoTitrant:
		return "the titrant: none here moves the pH the right way"
	case coach.NoWayBack:
		return "past the aim, and no titrant here titrates back"
	case coach.DropTooBig:
		return "one drop is too much"
	case coach.Stuck:
		return "the reading does not move, and should"
	case coach.Misfit:
		return "bench and notes: the readings do not fit"
	case coach.NoPoint:
		return "the titrant: no equivalence point is in reach"
	case coach.Unsaid:
		return Amount(v.Advice.Drops, v.Advice.Volume) + " of " + v.Titrant
	case coach.Unfit:
		return "the calibration before you end at " + v.ph(v.Settling.End) + ": " + v.Doubtful
	case coach.Moved:
		return fmt.Sprintf("the reading went from %s to %s by itself", v.ph(v.Level), v.ph(v.PH))
	}
	return "the beaker"
}

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
	if v.Note != "" {
		text += "; note: " + v.Note
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
		if f, bad := unsound(v.Spotted); bad && f.Outside {
			return "press i when the electrode is in the beaker: " + f.Evidence
		}
		return v.settlingWords()
	case coach.HandsOff:
		if v.Settling.SD > a.Tolerance {
			return fmt.Sprintf("what was given should end within the tolerance of %s; it counts once read at rest", v.ph(a.Aim))
		}
		return fmt.Sprintf("%s ± %s is within the tolerance of %s; it counts once read at rest", v.ph(v.Settling.End), v.spread(v.Settling.SD), v.ph(a.Aim))
	case coach.Dosing:
		return "Enter when all are in; n: nothing was given; a number: that many"
	case coach.Unsaid:
		switch {
		case v.Falling != nil && v.Falling.Like > 0 && a.Drops == 0:
			return "the reading has moved as if by another amount: Enter if it was the order, else the mL, such as 1.2m; t: other bottle, n: nothing"
		case v.Falling != nil && v.Falling.Like > 0:
			return fmt.Sprintf("the reading has moved as if by %s: Enter if it was the order, else a number; t: other bottle, n: nothing", Amount(v.Falling.Like, a.Volume*chem.Volume(v.Falling.Like/a.Drops)))
		}
		return "the reading is at rest again and nothing was recorded: Enter if it was given, n if nothing was"
	case coach.Stale:
		return fmt.Sprintf("the last reading is %.0f s old; nothing is added on an old reading", v.Age)
	case coach.Faulty:
		return v.faultWords()
	case coach.Far:
		return fmt.Sprintf("a safe step: expected to land at %s, %s the aim", v.landing(), v.besideAim())
	case coach.Near:
		return fmt.Sprintf("expected to land within the tolerance, at %s", v.landing())
	case coach.Probe:
		return fmt.Sprintf("a small step first, to test whether bottle and beaker are as planned; expected at %s", v.landing())
	case coach.Finer:
		return fmt.Sprintf("so near the aim the weaker titrant is safer; expected to land at %s", v.landing())
	case coach.InTolerance:
		return fmt.Sprintf("read at rest, within ±%s of the aim; make up to the mark, check and label", short(a.Tolerance))
	case coach.Past:
		if a.Salt == 0 {
			return fmt.Sprintf("%s; expected to land at %s", v.besideIt(), v.landing())
		}
		return fmt.Sprintf("%s; the back-titration leaves %.2g mmol of salt in the solution", v.besideIt(), a.Salt*1e3)
	case coach.NoWayBack:
		return "+ adds an opposite titrant; q ends the run as it stands"
	case coach.DropTooBig:
		return v.dropWords()
	case coach.Mistaken:
		return fmt.Sprintf("%.0f %% likely by the readings: check %s. y: that is it, c: it is as planned", math.Floor(a.Weight*100), v.looksAt())
	case coach.NoRoom:
		if v.Mark > 0 {
			return fmt.Sprintf("what is still needed does not fit under the mark. c: a larger volume, such as %g mL, and a thinner buffer; else q ends the run as it stands", v.Mark)
		}
		return "what is still needed does not fit even under twice the mark of the plan: check the bottle, and start again; c gives a little more"
	case coach.NoTitrant:
		return "a base is titrated with acid, an acid with base: + adds another bottle"
	case coach.Stuck:
		return "is the meter on hold, the cap off, the stirrer on, and did the drops fall in? u withdraws what did not, c: carry on; once the reading moves the run continues by itself"
	case coach.Unfit:
		return v.Cautions[0] + "; calibrate again, or c: end on it, for the record"
	case coach.Moved:
		return "nothing is on record since: enter what was added, or put the electrode back and press i, or c: carry on from here"
	}
	return ""
}

func (v View) settlingWords() string {
	e := v.Settling
	switch {
	case v.Leaving:
		return fmt.Sprintf("it is leaving %s with nothing on record: enter what was added, or leave the electrode where it is", v.ph(v.Level))
	case e.State == probe.Empty:
		return "let it mix, and wait for the readings after the addition"
	case math.IsInf(e.SD, 0) || e.SD >= vague:
		return "too early to say where the reading will end"
	}
	return fmt.Sprintf("on its way to about %s ± %s%s", v.end(), v.endSpread(), v.surer())
}

func (v View) faultWords() string {
	if f, bad := unsound(v.Spotted); bad && v.Advice.Do == coach.Check {
		return f.Words() + ". y: it was, and has been put right, c: it is fine"
	}
	switch {
	case v.Link == "lost" || v.Link == "quiet":
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

func (v View) landing() string {
	n, a := v.LandingDigits(), v.Advice
	return fmt.Sprintf("%.*f (%.*f to %.*f)", n, a.After, n, a.Low, n, a.High)
}

// besideIt is on which side of the aim the reading ends, and by how much. Whether that was
// reached by passing it or by the wrong bottle is not said.
func (v View) besideIt() string {
	side := "below"
	if v.Settling.End > v.Advice.Aim {
		side = "above"
	}
	return fmt.Sprintf("%s the aim by %s", side, v.ph(math.Abs(v.Settling.End-v.Advice.Aim)))
}

// besideAim is on which side of the aim an addition is expected to land, and how far off.
func (v View) besideAim() string {
	a, side := v.Advice, "short of"
	if (a.Aim-a.After)*(a.Aim-v.Settling.End) < 0 {
		side = "past"
	}
	return fmt.Sprintf("%.*f %s", v.LandingDigits(), math.Abs(a.Aim-a.After), side)
}

// LandingDigits is how many digits after the point the pH of a landing has: the meter's,
// but no third one where what is not known of it is larger.
func (v View) LandingDigits() int {
	if v.Advice.High-v.Advice.Low > 0.03 {
		return 2
	}
	return min(max(v.Decimals, 2), 3)
}

// ph writes a pH with the digits of the meter, two at the least.
func (v View) ph(x float64) string { return fmt.Sprintf("%.*f", min(max(v.Decimals, 2), 3), x) }

// EndDigits is how many digits after the point the end of a reading has: those of the
// meter, but of a spread no more than two.
func (v View) EndDigits() int {
	n := min(max(v.Decimals, 2), 3)
	if n == 3 && v.Settling.SD >= 0.0995 {
		n = 2
	}
	return n
}

// end is where the reading will end, and endSpread its spread.
func (v View) end() string { return fmt.Sprintf("%.*f", v.EndDigits(), v.Settling.End) }

func (v View) endSpread() string {
	if v.EndDigits() < min(max(v.Decimals, 2), 3) {
		return fmt.Sprintf("%.*f", v.EndDigits(), v.Settling.SD)
	}
	return v.spread(v.Settling.SD)
}

// spread writes a standard deviation of a pH with the digits of the meter, or with one
// more where those would say nothing.
func (v View) spread(sd float64) string {
	n := min(max(v.Decimals, 2), 3)
	if sd < 0.5*math.Pow(10, -float64(n)) {
		n++
	}
	return fmt.Sprintf("%.*f", n, sd)
}

func short(x float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.3f", x), "0"), ".")
}

func times(x float64) string {
	names := []string{"", "about", "twice", "three times", "four times", "five times"}
	if n := int(math.Round(x)); n >= 1 && n < len(names) {
		return names[n]
	}
	return fmt.Sprintf("%.2g times", x)
}
