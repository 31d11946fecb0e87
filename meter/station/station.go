// Package station is the simulated bench as somebody stands at it: a meter on a
// pseudo-terminal that others open like a serial port, typed lines for the hands at
// the plate, faults that a teacher lets loose, and a display to be read off.
package station

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/sim"
)

// Station is the simulated bench with the person at it.
type Station struct {
	Bench   *sim.Bench
	Clock   *sim.Clock
	Seed    uint64
	bottles []string
	doses   []dosed
	last    meter.Reading
}

// dosed is an addition that can be taken out again.
type dosed struct {
	bottle    string
	drops, ml float64
}

// line is the next line of the meter.
func (t *Station) line() string {
	t.Bench.Advance(t.Clock.Seconds())
	t.last = t.Bench.Sample()
	return t.last.Raw
}

// BottleList names the bottles of the bench.
func (t *Station) BottleList() string { return strings.Join(t.bottles, " · ") }

// stationHelp is the answer to a question mark.
const stationHelp = `  6 NaOH 1 M · 0.5 mL HCl 0.1 M   drops, or a volume, of a bottle
  undo      take the last addition out again
  rinse     the electrode in demineralised water
  into 7.00 the electrode into a standard
  back      the electrode into the beaker
  pH        what the meter shows
  f         the faults with their numbers; f 3 lets the third loose, m 3 puts it right
  q         end
`

// do carries out a typed line. It returns true for the end.
func (t *Station) do(text string, out, talk io.Writer) (end bool) {
	words := strings.Fields(text)
	if len(words) == 0 {
		return false
	}
	rest := strings.Join(words[1:], " ")
	var said string
	var err error
	switch strings.ToLower(words[0]) {
	case "q", "quit", "exit":
		return true
	case "?", "h", "help":
		fmt.Fprint(talk, stationHelp+"  bottles: "+t.BottleList()+"\n")
		return false
	case "ph":
		if t.last.Raw == "" {
			t.line()
		}
		fmt.Fprintln(out, t.last.Raw)
		return false
	case "f":
		if rest == "" {
			listLoose(talk, t.Bench)
			return false
		}
		said, err = t.loose(rest)
	case "m":
		said, err = t.mend(rest)
	case "undo":
		said, err = t.undo()
	case "rinse":
		t.Bench.Rinse()
		said = "the electrode is being rinsed; blot it, do not wipe, and put it on: into 7.00, or back"
	case "back":
		t.Bench.Back()
		said = "the electrode is in the beaker"
	case "into":
		said, err = t.into(rest)
	default:
		said, err = t.add(text)
	}
	if err != nil {
		said = "not done: " + plain(err)
	}
	fmt.Fprintln(talk, "halfdrop: "+said)
	return false
}

func (t *Station) undo() (string, error) {
	if len(t.doses) == 0 {
		return "", errors.New("nothing has been added")
	}
	d := t.doses[len(t.doses)-1]
	if err := t.Bench.Retract(d.bottle, d.drops, chem.Volume(d.ml)*chem.Millilitre); err != nil {
		return "", err
	}
	t.doses = t.doses[:len(t.doses)-1]
	return d.words() + " taken out again", nil
}

func (t *Station) into(name string) (string, error) {
	if strings.EqualFold(name, "beaker") || strings.EqualFold(name, "the beaker") {
		t.Bench.Back()
		return "the electrode is in the beaker", nil
	}
	s, err := standards.Find(name, standards.Technical)
	if err != nil {
		return "", err
	}
	temp := chem.Celsius(t.Bench.TempShown())
	ph, err := s.PH(temp)
	if err != nil {
		return "", err
	}
	t.Bench.Into(ph)
	return fmt.Sprintf("the electrode is in %s, pH %.2f at %.1f °C", s, ph, float64(temp)), nil
}

// Hand puts the electrode of a simulated bench into a standard, and says so.
func Hand(b *sim.Bench) func(standards.Standard) string {
	return func(st standards.Standard) string {
		ph, err := st.PH(chem.Celsius(b.TempShown()))
		if err != nil {
			return err.Error()
		}
		b.Into(ph)
		return "the simulated electrode is in " + st.String()
	}
}

// add lets an amount of a bottle fall into the beaker.
func (t *Station) add(text string) (string, error) {
	d, err := t.dose(text)
	if err != nil {
		return "", err
	}
	if err := t.Bench.Dispense(d.bottle, d.drops, chem.Volume(d.ml)*chem.Millilitre); err != nil {
		return "", err
	}
	t.doses = append(t.doses, d)
	said := d.words() + " in the beaker"
	if !t.Bench.InBeaker() {
		said += "; the electrode is elsewhere"
	}
	return said, nil
}

func (d dosed) words() string {
	switch {
	case d.drops == 0:
		return fmt.Sprintf("%g mL of %s", d.ml, d.bottle)
	case d.drops == 1:
		return "1 drop of " + d.bottle
	}
	return fmt.Sprintf("%g drops of %s", d.drops, d.bottle)
}

// errTyped is the answer to a line that means nothing here.
var errTyped = errors.New("type an amount and a bottle, such as 6 NaOH 1 M, or ? for help")

// dose reads "6 NaOH 1 M", "1 drop of NaOH", "0.5 mL HCl 0.1 M".
func (t *Station) dose(text string) (dosed, error) {
	words := strings.Fields(text)
	n, err := strconv.ParseFloat(strings.Replace(words[0], ",", ".", 1), 64)
	if err != nil {
		return dosed{}, errTyped
	}
	switch {
	case !(n > 0):
		return dosed{}, errors.New("the amount must be above zero")
	case n >= 1e4:
		return dosed{}, errors.New("more than the beaker would hold")
	}
	d, words := dosed{drops: n}, words[1:]
	if len(words) > 0 {
		switch strings.ToLower(words[0]) {
		case "drop", "drops", "x":
			words = words[1:]
		case "ml":
			d.drops, d.ml, words = 0, n, words[1:]
		case "µl", "μl", "ul":
			d.drops, d.ml, words = 0, n/1000, words[1:]
		}
	}
	if len(words) > 0 && strings.EqualFold(words[0], "of") {
		words = words[1:]
	}
	d.bottle, err = t.bottle(strings.Join(words, " "))
	return d, err
}

// bottle finds a bottle by its name or the beginning of it; without a name it
// is the one used last, or the only one.
func (t *Station) bottle(name string) (string, error) {
	if name == "" {
		switch {
		case len(t.doses) > 0:
			return t.doses[len(t.doses)-1].bottle, nil
		case len(t.bottles) == 1:
			return t.bottles[0], nil
		}
		return "", fmt.Errorf("of which bottle? %s", t.BottleList())
	}
	fit := phrase.Called(t.bottles, name)
	switch len(fit) {
	case 1:
		return fit[0], nil
	case 0:
		return "", fmt.Errorf("there is no bottle %q; there are %s", name, t.BottleList())
	}
	return "", fmt.Errorf("%q could be %s", name, strings.Join(fit, " or "))
}

// plain is an error without the room it comes from; a fault that cannot begin now is one
// all the same.
func plain(err error) string {
	text := err.Error()
	for _, room := range []string{"sim: no such fault: ", "sim: ", "calib: "} {
		if rest, ok := strings.CutPrefix(text, room); ok {
			return rest
		}
	}
	return text
}

// Display is the display of the simulated meter: it changes as often as the meter
// would send a reading, however often somebody looks.
type Display struct {
	Bench *sim.Bench
	Now   func() float64 // s

	mu   sync.Mutex
	next float64 // s, of the next reading
	text string
	warm string // °C
}

// Shows is what it shows: a pH, and the temperature beside it.
func (d *Display) Shows() (ph, temperature string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if t := d.Now(); t >= d.next || d.text == "" {
		d.Bench.Advance(t)
		r := d.Bench.Sample()
		d.text, d.next = strconv.FormatFloat(r.Value, 'f', r.Decimals, 64), t+sim.Every.Seconds()
		d.warm = fmt.Sprintf("%.1f °C", d.Bench.TempShown())
	}
	return d.text, d.warm
}

// Plate is the simulated bench as a plate at which drops fall one by one.
type Plate struct{ *sim.Bench }

// Begin begins an addition of drops.
func (p Plate) Begin(titrant string, drops float64) (session.Pour, error) {
	return p.Bench.Begin(titrant, drops, 0)
}
