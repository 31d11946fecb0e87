package dip

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/remedy"
)

// typeWarmth takes the temperature of the standards where everything is typed. A number
// with two decimals is a pH that was typed too soon.
func (r *Rig) typeWarmth(text string) error {
	_, decimals, _ := strings.Cut(strings.ReplaceAll(text, ",", "."), ".")
	if (len(decimals) > 1 && !strings.HasSuffix(text, "c")) || !r.warmed(text) {
		fmt.Fprintln(r.Talk, "  type the temperature, such as 21.5; the pH of a standard depends on it")
		return nil
	}
	if list := r.Proc.Impossible(); len(list) > 0 {
		return remedy.With(fmt.Errorf("nothing is known of %s; nothing was read", strings.Join(list, ", nor of ")), "use other standards, or let them come to bench temperature")
	}
	r.prompt()
	return nil
}

// typeIn takes a value that was read off the meter, or what is to be done about one
// that is odd.
func (r *Rig) typeIn(text string) error {
	if text == "again" && r.Proc.Stage() == walk.Ask {
		r.Proc.Again()
		r.prompt()
		return nil
	}
	reading, sure := r.last, text == "take" && r.Proc.Stage() == walk.Ask
	if !sure {
		var ok bool
		if reading, ok = readOff(text); !ok {
			fmt.Fprintln(r.Talk, "  type what the meter shows: 7.02, or -1.2 mV; back reads the standard before again, q ends")
			return nil
		}
		r.last = reading
	}
	before, _ := r.Proc.Points()
	switch err := r.Proc.Type(r.Now(), reading, sure); {
	case errors.Is(err, walk.ErrSends):
		fmt.Fprintln(r.Talk, "  "+err.Error()+": type it in the same unit")
		return nil
	case err != nil:
		return err
	}
	if r.Proc.Stage() == walk.Ask {
		fmt.Fprintln(r.Talk, "  "+r.Proc.Why())
		fmt.Fprintln(r.Talk, "  type it again; take: use the value anyway; q: end")
		return nil
	}
	r.taken(len(before))
	return nil
}

// readOff is a typed reading: "7.02", "pH 7,02", "-1.2 mV".
func readOff(text string) (meter.Reading, bool) {
	text = strings.ReplaceAll(strings.TrimSpace(strings.TrimPrefix(text, "ph")), ",", ".")
	number, mv := strings.CutSuffix(text, "mv")
	number = strings.TrimSpace(number)
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(x) || mv && math.Abs(x) > 2000 || !mv && !(x >= 0 && x <= 14) {
		return meter.Reading{}, false
	}
	r := meter.Reading{Quantity: meter.PH, Value: x}
	if mv {
		r.Quantity = meter.Millivolt
	}
	if _, after, ok := strings.Cut(number, "."); ok {
		r.Decimals = min(len(after), 4)
	}
	return r, true
}
