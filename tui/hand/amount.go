package hand

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// inML reports whether what is in hand is of a bottle that is given in mL.
func (h *Hand) inML() bool {
	i := slices.Index(h.View.Titrants, h.Titrant())
	return i >= 0 && i < len(h.View.InML) && h.View.InML[i]
}

// unit is what a number without a unit counts.
func (h *Hand) unit() string {
	if h.inML() {
		return "mL"
	}
	return "drops"
}

// IsAmount reports whether a text is an amount: "6", "6d", "0.6m".
func IsAmount(text string) bool {
	_, _, err := parseAmount(text)
	return err == nil
}

// Record records an amount, as it was typed, of a titrant; empty for the one in hand. Where
// it may be drops or mL it is asked about.
func (h *Hand) Record(number, titrant string) (Answer, error) {
	if titrant != "" {
		h.Chosen = titrant
	}
	drops, ml, err := h.amount(number)
	if err != nil {
		h.Chosen = ""
		return Answer{}, err
	}
	if h.Typed = number; h.eitherWay() && titrant == "" {
		return h.whichIs(), nil
	}
	return h.add(drops, ml), nil
}

// amount is parseAmount for the bottle in hand: of one that is given in mL a number
// without a unit is mL.
func (h *Hand) amount(text string) (drops, ml float64, err error) {
	drops, ml, err = parseAmount(text)
	switch {
	case err != nil || drops == 0:
		return drops, ml, err
	case !h.inML() && math.Mod(2*drops, 1) != 0:
		return 0, 0, fmt.Errorf("%g is not a number of drops: use whole or half drops, or %gm for mL", drops, drops)
	case !h.inML():
		return drops, ml, nil
	case strings.HasSuffix(text, "d"):
		return 0, 0, fmt.Errorf("%s is given in mL, not in drops", h.Titrant())
	}
	return 0, drops, nil
}

// parseAmount reads "6" and "6d" as drops, and "0.6m" as mL.
func parseAmount(text string) (drops, ml float64, err error) {
	number, inML := strings.CutSuffix(strings.TrimSuffix(text, "d"), "m")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || !(x > 0) {
		return 0, 0, fmt.Errorf("%s is not an amount", text)
	}
	if inML {
		return 0, x, nil
	}
	return x, 0, nil
}

// FirstWords is the number and unit of an amount, without what is in brackets.
func FirstWords(amount string) string {
	short, _, _ := strings.Cut(amount, " (")
	return short
}
