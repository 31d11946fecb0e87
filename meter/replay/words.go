package replay

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// words explain an overshoot to a person: what, why, what would have been safe.
func (o *Overshoot) words(a, b *stop, otherToo bool) string {
	parts := []string{o.what(b), o.why(a, b, otherToo)}
	if o.Named != "" {
		parts = append(parts, "By the readings after it this looks like "+o.Named+".")
	}
	if s := o.instead(b); s != "" {
		parts = append(parts, s)
	}
	return strings.Join(parts, " ")
}

func (o *Overshoot) what(b *stop) string {
	if o.Step > 0 && o.Cause != Withdrawn {
		return fmt.Sprintf("At %s addition %d, %s of %s, went %.2f past the aim of %.2f.", phrase.Clock(o.T), o.Step,
			view.Amount(b.drops, b.volume), b.state.Setup.Stocks[b.stock].Name, o.Past, o.Aim)
	}
	return fmt.Sprintf("At %s, with nothing recorded, the reading went %.2f past the aim of %.2f.", phrase.Clock(b.since), o.Past, o.Aim)
}

// kindOfCharge is what a bottle holds by the charge it brings.
func kindOfCharge(charge float64) string {
	if charge < 0 {
		return "an acid"
	}
	return "a base"
}

// times is how many times something did what it ought to do, in words.
func times(x float64) string {
	if x > 1000 {
		return "more than a thousand times"
	}
	return chem.Digits(x, 2) + " times"
}

func (o *Overshoot) why(a, b *stop, otherToo bool) string {
	name := b.state.Setup.Stocks[b.stock].Name
	switch o.Cause {
	case TooLarge:
		if b.response >= strong {
			return fmt.Sprintf("The addition was larger than was safe at that point, and it did %s what the plan says.", times(b.response))
		}
		return "The addition was larger than was safe at that point."
	case Amended:
		return "The plan it was given by was amended after it: " + amendment(a, b) + "."
	case Exchanged:
		way := map[bool]string{true: "up", false: "down"}[b.PH > a.PH]
		return fmt.Sprintf("The reading went %s, from %.2f to %.2f, and %s is %s: what fell came from a bottle other than the one recorded, %s.",
			way, a.PH, b.PH, name, kindOfCharge(b.charge), kindOfCharge(-b.charge))
	case Withdrawn:
		return fmt.Sprintf("Addition %d, put on record at %s, was withdrawn; the reading says that it fell.", o.Step, phrase.Clock(o.T))
	case Unsettled:
		return fmt.Sprintf("It was given before the reading had settled: the meter showed %.2f on its way to %.2f.", o.Shown, o.Was)
	case Stronger:
		if otherToo {
			return fmt.Sprintf("It did %s what the plan says, and another bottle did more as well: there is less buffer in the beaker, or larger drops fell.", times(o.Response))
		}
		if o.Alone {
			return fmt.Sprintf("It did %s what the plan says. No other addition of %s tells whether it is stronger than labelled, its drops are larger, there is less buffer in the beaker, or something else fell that was not logged.", times(o.Response), name)
		}
		return fmt.Sprintf("It did %s what the label of %s says: the titrant is stronger than labelled, its drops are larger, or there is less buffer in the beaker.", times(o.Response), name)
	case Unlogged:
		if o.Step == 0 {
			return fmt.Sprintf("The reading stepped from %.2f to %.2f: something was added that was not logged.", o.Was, o.PH)
		}
		return fmt.Sprintf("It did %s what the label says while the other additions of %s did not: something else was added that was not logged.", times(o.Response), name)
	case Drift:
		words := fmt.Sprintf("The reading drifted from %.2f to %.2f over %s.", o.Was, o.PH, phrase.Clock(b.T-b.since))
		if d := b.TempC - a.TempC; d > 0.3 || d < -0.3 {
			words += fmt.Sprintf(" The beaker went from %.1f to %.1f °C meanwhile.", a.TempC, b.TempC)
		}
		return words
	case Unwatched:
		return "It happened while there were no readings."
	}
	words := "It was given as advised"
	if o.given(b) {
		words += fmt.Sprintf(", to land at %.2f (%.2f to %.2f)", o.Safe.PHAfter, o.Safe.PHLow, o.Safe.PHHigh)
	}
	if b.state.Bench().Unweighed {
		return words + ": nobody had weighed what is in the beaker, and the additions before it had shown no more."
	}
	return words + ": the coach accepts a small chance of that, a few per cent at most."
}

// given reports whether what was safe is what was given.
func (o *Overshoot) given(b *stop) bool {
	return o.Safe != nil && o.Safe.Titrant == b.state.Setup.Stocks[b.stock].Name && math.Abs(o.Safe.ML-b.volume.Millilitres()) <= 0.001*o.Safe.ML
}

func (o *Overshoot) instead(b *stop) string {
	var s string
	switch {
	case o.given(b) && o.Cause == Unlucky:
	case o.Cause == Exchanged:
		return "Correct the record to the bottle that was used: the advice then follows."
	case o.Cause == Withdrawn:
		return "Withdraw only what did not fall; put it on record again, with its amount."
	case o.Safe != nil:
		s = "That was advised then"
		if !o.given(b) {
			s = fmt.Sprintf("Safe on what was known then: %s of %s", view.Amount(o.Safe.Drops, chem.Volume(o.Safe.ML)*chem.Millilitre), o.Safe.Titrant)
		}
		s += fmt.Sprintf(", to land at %.2f (%.2f to %.2f)", o.Safe.PHAfter, o.Safe.PHLow, o.Safe.PHHigh)
		if o.SafeNote != "" {
			s += ", or better " + o.SafeNote
		}
		s += "."
	case o.SafeNote != "":
		s = "Safe on what was known then: " + o.SafeNote + "."
	case o.Cause == Unlogged:
		return "Record what fell, with its amount, as soon as it is noticed: the advice then follows."
	default:
		return "Check the electrode and the temperature, and read again before use."
	}
	switch {
	case o.Needed == 0:
		s += " The coach would have stopped there."
	case o.Needed == 1:
		s += " From there the coach would have needed 1 addition."
	case o.Needed > 1:
		s += fmt.Sprintf(" From there the coach would have needed %d additions.", o.Needed)
	case o.Needed == stuck:
		s += " From there the coach would not have reached the aim with these titrants."
	}
	return strings.TrimSpace(s)
}
