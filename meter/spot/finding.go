package spot

import "strings"

// Fault names a fault; the names are those of the simulated bench.
type Fault string

// The faults that can be named.
const (
	Early        Fault = "early"
	Unstirred    Fault = "unstirred"
	Zones        Fault = "zones"
	Vortex       Fault = "vortex"
	DryTip       Fault = "dry_tip"
	Cap          Fault = "cap"
	Cracked      Fault = "cracked"
	Lead         Fault = "lead"
	Clogged      Fault = "clogged"
	Hole         Fault = "hole"
	Aged         Fault = "aged"
	Wiped        Fault = "wiped"
	Swapped      Fault = "swapped"
	Temperature  Fault = "temperature"
	Warm         Fault = "warm"
	CO2          Fault = "co2"
	Hung         Fault = "hung"
	Missed       Fault = "missed"
	Unlogged     Fault = "unlogged"
	Dropper      Fault = "dropper"
	WeakTitrant  Fault = "weak_titrant"
	WrongTitrant Fault = "wrong_titrant"
	WrongSalt    Fault = "wrong_salt"
	HalfBuffer   Fault = "half_buffer"
	CarryOver    Fault = "carry_over"
)

// Finding is a fault that the readings speak for.
type Finding struct {
	Fault    Fault
	Or       []Fault // what looks alike
	Evidence string  // what was seen, in words
	Try      string  // what to do
	// Bad says that the reading is not that of the beaker: nothing may be added
	// on it.
	Bad bool
	// Outside says that the electrode may not be in the beaker yet.
	Outside bool
	T       float64 // s, when it could be told
}

// Code is the finding for a confirmation to refer to.
func (f Finding) Code() string { return "spot:" + string(f.Fault) }

// Words are evidence and advice in one sentence.
func (f Finding) Words() string { return f.Evidence + ": " + f.Try }

// kinds are the faults, a row each: what to do, whether the reading is that of something
// else than the beaker meanwhile (bad), and whether readings at rest are then worth nothing
// as evidence of bottles and weighing (blurs).
var kinds = map[Fault]struct {
	try        string
	bad, blurs bool
}{
	Early:        {"wait for the settled sign before the next addition", false, false},
	Unstirred:    {"check the stirrer; a shallow dimple is enough", false, false},
	Zones:        {"stir a little faster", false, false},
	Vortex:       {"slow the stirrer until the surface is calm and no bubbles reach the bulb", true, true},
	DryTip:       {"lower the electrode: bulb and junction under the surface", true, true},
	Cap:          {"check that the cap is off and the bulb in the liquid", true, true},
	Cracked:      {"look for a crack in the bulb; both standards read alike then", true, true},
	Lead:         {"check cable and plug", true, true},
	Clogged:      {"clean the junction; a tenfold diluted buffer has to read as it should", false, true},
	Hole:         {"open the filling hole, fill up, shake a bubble out of the bulb", false, true},
	Aged:         {"give it time; soak or replace the electrode, and calibrate", false, true},
	Wiped:        {"wait a minute: a bubble may have left it, or it was moved or wiped; blot, never wipe", true, true},
	Swapped:      {"calibrate again, each standard in turn", true, false},
	Temperature:  {"measure the temperature of the beaker, and put the probe in", false, true},
	Warm:         {"let it come to bench temperature", false, true},
	CO2:          {"cover the beaker, stir gently and do not dawdle", false, true},
	Hung:         {"touch the hanging drop to the wall and rinse it down", false, false},
	Missed:       {"look for it on the wall, rinse it down, or withdraw it in the log", false, false},
	Unlogged:     {"log what fell", false, false},
	Dropper:      {"weigh twenty drops; check the label", false, false},
	WeakTitrant:  {"check the date of the bottle; use a fresh one, or go by the response", false, false},
	WrongTitrant: {"stop, and check the bottle", true, false},
	WrongSalt:    {"check the jar; weigh again, or plan with what is there", false, false},
	HalfBuffer:   {"check the weighing notes", false, false},
	CarryOver:    {"rinse with water and with a little of the sample, and read again", true, true},
}

func found(f Fault, t float64, evidence string, or ...Fault) Finding {
	c := kinds[f]
	return Finding{Fault: f, Or: or, Evidence: evidence, Try: c.try, Bad: c.bad, T: t}
}

// Named is the fault of a code, as Code gives it, without evidence; false for none.
func Named(code string) (Finding, bool) {
	name, ok := strings.CutPrefix(code, "spot:")
	if _, known := kinds[Fault(name)]; !ok || !known {
		return Finding{}, false
	}
	return found(Fault(name), 0, ""), true
}
