package tui

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/run"
)

// digitsOfPH is how many digits after the point make a number a pH, whatever is
// asked for: nobody counts hundredths of drops.
const digitsOfPH = 2

// ofPH reports whether the number in hand is what the display shows: while the
// coach asks for that, and always with two decimals or a p behind it. Else it is
// an amount.
func (h *hand) ofPH() bool {
	_, frac, _ := strings.Cut(h.typed, ".")
	switch {
	case !h.view.ByHand || strings.HasSuffix(h.typed, "m"):
		return false
	case strings.HasSuffix(h.typed, "p"):
		return true
	case h.givenInML():
		return false
	case len(frac) >= digitsOfPH:
		return true
	}
	return h.view.Next != nil
}

// givenInML reports whether an addition in mL is ordered and no pH is asked for: a
// burette is read to two decimals, like a display.
func (h *hand) givenInML() bool { return h.view.Next == nil && h.ordered() && h.inML() }

// highestPH is the largest number that may be what a display shows.
const highestPH = 14.5

// eitherWay reports whether the number in hand may be the pH as well as the mL that are
// ordered.
func (h *hand) eitherWay() bool {
	x, decimals, err := parsePH(h.typed)
	return err == nil && h.view.ByHand && h.givenInML() && decimals >= digitsOfPH && x <= highestPH
}

// value makes the number in hand a pH.
func (h *hand) value() answer {
	switch {
	case !h.view.ByHand:
		return sorry("p is for a run by hand: titrate --by-hand")
	case h.typed == "" || strings.HasSuffix(h.typed, "m") || strings.HasSuffix(h.typed, "p"):
		return sorry("p goes after a number that is the pH: 7.5p")
	}
	h.typed += "p"
	return answer{}
}

// degrees makes the number in hand the temperature of the beaker.
func (h *hand) degrees() answer {
	x, err := strconv.ParseFloat(h.typed, 64)
	switch {
	case !h.view.ByHand:
		return sorry("C is for a run by hand: titrate --by-hand")
	case err != nil:
		return sorry("C goes after a number that is the temperature of the beaker: 21.5C")
	}
	h.forget()
	return answer{want: &run.Intent{Kind: run.WantWarm, TempC: x}}
}

// stands says that the display stands: at what is typed, else at the latest value.
func (h *hand) stands() answer {
	v := h.view
	switch {
	case !v.ByHand:
		return sorry("s is for a run by hand: titrate --by-hand")
	case strings.HasSuffix(h.typed, "m") || h.counting:
		return sorry("Enter or Esc first, then s")
	case h.typed != "":
		return h.read(true)
	case !v.HasReading || v.Next != nil && v.Next.Mixing:
		return sorry("first type what the display shows, such as 7.42, then s")
	}
	return h.take(v.PH, v.Decimals, true)
}

// read takes the number in hand as what the display shows.
func (h *hand) read(stands bool) answer {
	x, decimals, err := parsePH(strings.TrimSuffix(h.typed, "p"))
	if err != nil {
		return sorry("%v", err)
	}
	h.forget()
	return h.take(x, decimals, stands)
}

func (h *hand) take(x float64, decimals int, stands bool) answer {
	in := run.Intent{Kind: run.WantRead, PH: x, Decimals: decimals, Stands: stands}
	h.stamp(&in)
	return answer{want: &in}
}

// parsePH reads "7.42".
func parsePH(text string) (x float64, decimals int, err error) {
	x, err = strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, 0, fmt.Errorf("%s is not a pH", text)
	}
	_, frac, _ := strings.Cut(text, ".")
	return x, len(frac), nil
}

// whichIs asks what a number is: a whole one while a pH is asked for, one with two decimals
// while mL are ordered.
func (h *hand) whichIs() answer {
	drops, ml, err := h.amount(h.typed)
	if err != nil {
		return h.read(false)
	}
	unit := h.unit()
	h.question = &question{
		words: fmt.Sprintf("%s: is it the pH, or %s of %s that were added?", h.typed, unit, h.titrant()),
		choices: []choice{
			{"p", "p", "the pH", func() answer { return h.read(false) }},
			{unit[:1], unit[:1], unit, func() answer { return h.add(drops, ml) }},
			{"Esc", "esc", "neither", func() answer {
				h.forget()
				return say("nothing is recorded")
			}},
		}}
	return answer{}
}

// slipped asks about a value that looks like a slip of the finger.
func (h *hand) slipped(a run.Answer) *question {
	again := func(x float64, decimals int) func() answer {
		return func() answer {
			in := a.To
			in.PH, in.Decimals, in.Sure = x, decimals, true
			h.stamp(&in)
			return answer{want: &in}
		}
	}
	q := &question{words: a.Text}
	if x, decimals, err := parsePH(a.Slip.Meant); err == nil {
		q.choices = append(q.choices, choice{"y", "y", a.Slip.Meant, again(x, decimals)})
	}
	if !a.Slip.Never {
		q.choices = append(q.choices, choice{"n", "n", "it shows " + a.Slip.Typed, again(a.To.PH, a.To.Decimals)})
	}
	q.choices = append(q.choices, choice{"Esc", "esc", "type it again", func() answer { return say("nothing is recorded; type it again") }})
	return q
}
