package hand

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/run/intent"
)

// digitsOfPH is how many digits after the point make a number a pH, whatever is
// asked for: nobody counts hundredths of drops.
const digitsOfPH = 2

// OfPH reports whether the number in hand is what the display shows: while the
// coach asks for that, and always with two decimals or a p behind it. Else it is
// an amount.
func (h *Hand) OfPH() bool {
	_, frac, _ := strings.Cut(h.Typed, ".")
	switch {
	case !h.View.ByHand || strings.HasSuffix(h.Typed, "m"):
		return false
	case strings.HasSuffix(h.Typed, "p"):
		return true
	case h.givenInML():
		return false
	case len(frac) >= digitsOfPH:
		return true
	}
	return h.View.Next != nil
}

// givenInML reports whether an addition in mL is ordered and no pH is asked for: a
// burette is read to two decimals, like a display.
func (h *Hand) givenInML() bool { return h.View.Next == nil && h.ordered() && h.inML() }

// highestPH is the largest number that may be what a display shows.
const highestPH = 14.5

// eitherWay reports whether the number in hand may be the pH as well as the mL that are
// ordered.
func (h *Hand) eitherWay() bool {
	x, decimals, err := ParsePH(h.Typed)
	return err == nil && h.View.ByHand && h.givenInML() && decimals >= digitsOfPH && x <= highestPH
}

// bare reports whether a number is in hand that nobody has said yet what it is.
func (h *Hand) bare() bool {
	return h.Typed != "" && !strings.HasSuffix(h.Typed, "m") && !strings.HasSuffix(h.Typed, "p")
}

// Value makes the number in hand a pH.
func (h *Hand) Value() Answer {
	switch {
	case !h.View.ByHand:
		return Sorry("p is for a run by hand: titrate --by-hand")
	case !h.bare():
		return Sorry("p goes after a number that is the pH: 7.5p")
	}
	h.Typed += "p"
	return Answer{}
}

// Degrees makes the number in hand the temperature of the beaker.
func (h *Hand) Degrees() Answer {
	x, err := strconv.ParseFloat(h.Typed, 64)
	switch {
	case !h.View.ByHand:
		return Sorry("C is for a run by hand: titrate --by-hand")
	case err != nil:
		return Sorry("C goes after a number that is the temperature of the beaker: 21.5C")
	}
	h.Forget()
	return Answer{Want: &intent.Intent{Kind: intent.Warm, TempC: x}}
}

// Stands says that the display stands: at what is typed, else at the latest value.
func (h *Hand) Stands() Answer {
	v := h.View
	switch {
	case !v.ByHand:
		return Sorry("s is for a run by hand: titrate --by-hand")
	case strings.HasSuffix(h.Typed, "m") || h.Counting:
		return Sorry("Enter or Esc first, then s")
	case h.Typed != "":
		return h.Read(true)
	case !v.HasReading || v.Next != nil && v.Next.Mixing:
		return Sorry("first type what the display shows, such as 7.42, then s")
	}
	return h.take(v.PH, v.Decimals, true)
}

// Read takes the number in hand as what the display shows.
func (h *Hand) Read(stands bool) Answer {
	x, decimals, err := ParsePH(strings.TrimSuffix(h.Typed, "p"))
	if err != nil {
		return Sorry("%v", err)
	}
	h.Forget()
	return h.take(x, decimals, stands)
}

func (h *Hand) take(x float64, decimals int, stands bool) Answer {
	in := intent.Intent{Kind: intent.Read, PH: x, Decimals: decimals, Stands: stands}
	h.Stamp(&in)
	return Answer{Want: &in}
}

// ParsePH reads "7.42".
func ParsePH(text string) (x float64, decimals int, err error) {
	x, err = strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, 0, fmt.Errorf("%s is not a pH", text)
	}
	_, frac, _ := strings.Cut(text, ".")
	return x, len(frac), nil
}

// whichIs asks what a number is: a whole one while a pH is asked for, one with two decimals
// while mL are ordered.
func (h *Hand) whichIs() Answer {
	drops, ml, err := h.amount(h.Typed)
	if err != nil {
		return h.Read(false)
	}
	unit := h.unit()
	h.Question = &Question{
		Words: fmt.Sprintf("%s: is it the pH, or %s of %s that were added?", h.Typed, unit, h.Titrant()),
		Choices: []choice{
			{"p", "p", "the pH", func() Answer { return h.Read(false) }},
			{unit[:1], unit[:1], unit, func() Answer { return h.add(drops, ml) }},
			{"Esc", "esc", "neither", func() Answer {
				h.Forget()
				return Say("nothing is recorded")
			}},
		}}
	return Answer{}
}

// slipped asks about a value that looks like a slip of the finger.
func (h *Hand) slipped(a intent.Answer) *Question {
	again := func(x float64, decimals int) func() Answer {
		return func() Answer {
			in := a.To
			in.PH, in.Decimals, in.Sure = x, decimals, true
			h.Stamp(&in)
			return Answer{Want: &in}
		}
	}
	q := &Question{Words: a.Text}
	if x, decimals, err := ParsePH(a.Slip.Meant); err == nil {
		q.Choices = append(q.Choices, choice{"y", "y", a.Slip.Meant, again(x, decimals)})
	}
	if !a.Slip.Never {
		q.Choices = append(q.Choices, choice{"n", "n", "it shows " + a.Slip.Typed, again(a.To.PH, a.To.Decimals)})
	}
	q.Choices = append(q.Choices, choice{"Esc", "esc", "type it again", func() Answer { return Say("nothing is recorded; type it again") }})
	return q
}
