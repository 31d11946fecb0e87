package screen_test

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/widget"
)

// The views below are built by hand for the screen alone; their chemistry is
// only a sketch: a buffer of 12.5 mmol with pKa 7.4 brought up with base.

const (
	buffer = 12.5e-3
	pKa    = 7.40
)

// sketch is pH after a charge of base.
func sketch(q float64) float64 {
	f := min(max(q/buffer, 1e-4), 1-1e-4)
	return pKa + math.Log10(f/(1-f))
}

func base() view.View {
	v := view.View{
		T: 252, Name: "HEPES 25 mM for the cold room", Target: 7.40, Tolerance: 0.02,
		UseTemp: 4, BenchTemp: 21.5, Measured: true, Link: "live",
		Titrants: []string{"NaOH 1 M", "NaOH 0.1 M", "HCl 1 M"}, PerLitre: []float64{1, 0.1, -1},
		HasReading: true, Decimals: 2, Age: 0.4,
		Volume: 404.3 * chem.Millilitre, Start: 400 * chem.Millilitre, Final: 500 * chem.Millilitre,
		Entries: []view.Entry{
			{Seq: 9, T: 42, Stock: 0, Drops: 48, Volume: 2.4 * chem.Millilitre, Advised: true},
			{Seq: 31, T: 96, Stock: 0, Drops: 20, Volume: 1 * chem.Millilitre},
			{Seq: 33, T: 99, Stock: 0, Drops: 20, Volume: 1 * chem.Millilitre, Undone: true},
			{Seq: 64, T: 171, Stock: 0, Drops: 18, Volume: 0.9 * chem.Millilitre, Advised: true},
		},
		Charge: 4.3e-3, Aimed: 4.77e-3,
	}
	v.Advice = coach.Advice{Do: coach.Wait, Reason: coach.Settling, Aim: 7.19, Tolerance: 0.02}
	reading(&v, 7.12, probe.Settled, 7.12, 0.008)
	for i := range 81 {
		q := 1.25 * v.Aimed * float64(i) / 80
		off := 0.02 + 0.1*math.Abs(q-v.Charge)/v.Aimed
		v.Curve = append(v.Curve, coach.CurvePoint{Charge: q, PH: sketch(q), Low: sketch(q) - off, High: sketch(q) + off})
	}
	for i, q := range []float64{0.02e-3, 2.4e-3, 3.4e-3, 4.3e-3} {
		v.Points = append(v.Points, view.Point{After: i, Charge: q, PH: sketch(q), SD: 0.01})
	}
	return v
}

func reading(v *view.View, ph float64, state probe.State, end, sd float64) {
	v.PH = ph
	v.Settling = probe.Estimate{State: state, End: end, SD: sd, Noise: 0.004, Now: ph}
}

func advise(v *view.View, reason coach.Reason, stock int, drops, after, low, high float64) {
	v.Titrant = v.Titrants[stock]
	a := &v.Advice
	a.Do, a.Reason, a.Stock, a.Drops = coach.Add, reason, stock, drops
	a.Volume = chem.Volume(drops) * 50 * chem.Microlitre
	a.After, a.Low, a.High = after, low, high
}

// out is a check in standards at a stage.
func out(st *screen.State, stage walk.Stage, n int) {
	names := []string{"7.00", "4.01"}
	w := &view.Away{Stage: stage, Standard: names[n-1], Name: names[n-1], Number: n, Of: 2, End: math.NaN()}
	st.View.Away, st.View.Advice.Reason, st.View.Calibration = w, coach.InStandard, "E7 98.4 %, 5 h"
	st.Keys = []keyrow.Key{{Name: "Enter", Short: "it is in"}, {Name: "Esc", Short: "end the check"}, {Name: "?", Short: "keys"}, {Name: "q", Short: "end"}}
	switch reading(&st.View, 6.31, probe.Settled, 7.12, 0.008); stage {
	case walk.Settle:
		st.View.PH, w.End, w.SD = 6.98, 7.03, 0.02
		st.Keys[0] = keyrow.Key{Name: "c", Short: "take the value now"}
	case walk.Ask:
		st.View.PH, st.View.Advice.Do = 7.03, coach.Check
		w.Odd = "it settled at about pH 7.03, 3.03 from the standard's 4.00: it reads as 7.00 should: is the electrode in that beaker?"
	case walk.Done:
		st.View.PH = 4.03
		w.Verdict = &calib.Verification{Aim: 7.19, Tolerance: 0.02, Shift: 0.02, ShiftSD: 0.01, SlopePct: 99.2, SlopeSD: 0.5, Verdict: calib.Accepted,
			Seen: []calib.Seen{{Point: calib.Point{Standard: "4.01", PH: 4.00}, Read: 4.03, Shift: 0.03, SD: 0.01}, {Point: calib.Point{Standard: "7.00", PH: 7.01}, Read: 7.03, Shift: 0.02, SD: 0.01}}}
		st.Keys = []keyrow.Key{{Name: "Enter", Short: "it is back in the beaker"}, {Name: "?", Short: "keys"}, {Name: "q", Short: "end"}}
	}
}

// typing is a run by hand that wants a value.
func typing(st *screen.State, n view.Next) {
	v := &st.View
	v.ByHand, v.Link, v.Measured, v.Next = true, "", false, &n
	st.Keys = []keyrow.Key{{Name: "0-9", Short: "what it shows"}, {Name: "s", Short: "it is steady"}, {Name: "?", Short: "keys"}, {Name: "q", Short: "end"}, {Name: "u", Short: "undo"}}
}

// sample is a state of the coach screen with a name.
type sample struct {
	name string
	st   screen.State
}

func with(name string, change func(*screen.State)) sample {
	st := screen.State{View: base(), Set: &widget.Unicode, Keys: []keyrow.Key{
		{Name: "Enter", Short: "added 6 drops"}, {Name: "Space", Short: "count"}, {Name: "0-9", Short: "other amount"},
		{Name: "?", Short: "keys"}, {Name: "q", Short: "end"}, {Name: "u", Short: "undo"}, {Name: "t", Short: "titrant"},
	}}
	st.Hand.Titrant = "NaOH 1 M"
	change(&st)
	return sample{name, st}
}

// named is the state of a sample.
func named(name string) screen.State {
	for _, s := range samples() {
		if s.name == name {
			return s.st
		}
	}
	panic("no sample " + name)
}

// samples are the situations that every size is drawn in.
func samples() []sample {
	return []sample{
		with("first", first),
		with("waiting", func(st *screen.State) { reading(&st.View, 7.07, probe.Settling, 7.12, 0.03) }),
		with("add", func(st *screen.State) {
			advise(&st.View, coach.Far, 0, 6, 7.16, 7.145, 7.175)
			st.Said = "recorded: 18 drops of NaOH 1 M"
		}),
		with("add in mL", inMillilitres),
		with("near", func(st *screen.State) {
			reading(&st.View, 7.165, probe.Settled, 7.166, 0.004)
			st.View.Decimals = 3
			advise(&st.View, coach.Finer, 1, 12, 7.188, 7.181, 7.195)
		}),
		with("stop", func(st *screen.State) {
			reading(&st.View, 7.19, probe.Settled, 7.19, 0.006)
			st.View.Advice.Do, st.View.Advice.Reason = coach.Stop, coach.InTolerance
			st.View.AtRest, st.View.Read = true, view.Value{PH: 7.19, SD: 0.006, T: 251}
		}),
		with("hands off", func(st *screen.State) {
			reading(&st.View, 7.17, probe.Settling, 7.188, 0.006)
			st.View.Advice.Reason = coach.HandsOff
		}),
		with("dosing", func(st *screen.State) { dosing(st, 31) }),
		with("dosing in mL", func(st *screen.State) { dosing(st, 101) }),
		with("given", func(st *screen.State) {
			dosing(st, 31)
			st.View.Advice.Do, st.View.Advice.Reason = coach.Check, coach.Unsaid
			st.View.Falling = &view.Falling{Since: 240, Rest: true, Asks: true, Like: 12}
		}),
		with("changed", func(st *screen.State) {
			advise(&st.View, coach.Far, 0, 97, 7.16, 7.145, 7.175)
			st.View.Ordered, st.View.Was = true, 101
		}),
		with("half a drop", func(st *screen.State) {
			advise(&st.View, coach.Near, 1, 0.5, 7.19, 7.18, 7.2)
			st.View.Ordered = true
		}),
		with("giving", func(st *screen.State) {
			dosing(st, 31)
			st.View.Giving = &view.Giving{Titrant: "NaOH 1 M", Drops: 31, Fallen: 12}
		}),
		with("asked", func(st *screen.State) {
			counting(st, 4)
			st.Prompt = "6 ordered, 4 counted: what is in the beaker?"
			st.Keys = []keyrow.Key{{Name: "Enter", Short: "the 6 ordered"}, {Name: "c", Short: "the 4 counted"}, {Name: "Esc", Short: "count on"}}
		}),
		with("check", mistaken),
		with("silent", func(st *screen.State) {
			st.View.Link, st.View.Age, st.View.Advice.Reason = "quiet", 12, coach.Faulty
			st.View.LinkNote = "nothing from ttyUSB0 for 12 s; look at plug and power, the run goes on by itself when it is back"
		}),
		with("past", past),
		with("dip", func(st *screen.State) { out(st, walk.Immerse, 1) }),
		with("in standard", func(st *screen.State) { out(st, walk.Settle, 1) }),
		with("odd standard", func(st *screen.State) { out(st, walk.Ask, 2) }),
		with("back", func(st *screen.State) { out(st, walk.Done, 2) }),
		with("by hand", func(st *screen.State) { typing(st, view.Next{In: -1}) }),
		with("by hand stands", func(st *screen.State) {
			typing(st, view.Next{In: -1, Stands: true})
			reading(&st.View, 7.17, probe.Settling, 7.18, 0.01)
			st.View.Advice.Reason = coach.HandsOff
		}),
		with("at the edge", func(st *screen.State) {
			reading(&st.View, 7.17, probe.Settling, 7.166, 0.006)
			st.View.Advice.Reason = coach.HandsOff
		}),
		with("by hand simulated", func(st *screen.State) {
			typing(st, view.Next{In: -1})
			st.Display, st.Warm = "7.09", "21.5 °C"
		}),
		with("by hand later", func(st *screen.State) { typing(st, view.Next{In: 25, Mixing: true}) }),
		with("by hand typed", func(st *screen.State) {
			typing(st, view.Next{In: -1})
			st.Hand.Typed, st.Hand.PH = "7.1", true
		}),
		with("alarm", func(st *screen.State) {
			st.View.Alarm = "not being recorded: write run.jsonl: no space left on device"
			st.View.Refused, st.View.Refusal = 3, "19.21 cannot be the pH of the beaker: look at electrode and plug"
		}),
		with("typing", func(st *screen.State) {
			advise(&st.View, coach.Far, 0, 6, 7.16, 7.145, 7.175)
			st.Hand.Typed = "0.3m"
		}),
		with("counting", func(st *screen.State) { counting(st, 4) }),
		with("counted", func(st *screen.State) { counting(st, 6) }),
		with("one too many", func(st *screen.State) { counting(st, 7) }),
		with("doubtful", func(st *screen.State) {
			reading(&st.View, 7.19, probe.Settled, 7.19, 0.006)
			v := &st.View
			v.Advice.Do, v.Advice.Reason = coach.Stop, coach.InTolerance
			v.AtRest, v.Read = true, view.Value{PH: 7.19, SD: 0.006, T: 251}
			v.Calibration, v.Doubtful = "E7 98.2 %, 13 h", "calibrated long ago"
			v.Cautions = []string{"calibrated 13 h ago: calibrate again soon"}
		}),
		with("unfit", func(st *screen.State) {
			reading(&st.View, 7.19, probe.Settled, 7.19, 0.006)
			v := &st.View
			v.Advice.Do, v.Advice.Reason = coach.Check, coach.Unfit
			v.Calibration, v.Doubtful = "E7 98.2 %, 2 h", "outside the standards"
			v.Cautions = []string{"the aim, pH 7.19, is not between the standards, pH 4.01 to 7.00"}
		}),
		with("waiting with an offer", func(st *screen.State) {
			reading(&st.View, 7.07, probe.Settling, 7.12, 0.03)
			st.View.Offer = &view.Offer{Titrant: "NaOH 1 M", Drops: 4, Volume: chem.Volume(0.2e-3), After: 7.19, Wait: 170}
			st.Keys = []keyrow.Key{{Name: "g", Short: "go ahead"}, {Name: "?", Short: "keys"}, {Name: "q", Short: "end"}, {Name: "0-9", Short: "record an addition"}, {Name: "u", Short: "undo"}}
		}),
	}
}

func first(st *screen.State) {
	v := &st.View
	v.HasReading, v.Entries, v.Points, v.Charge, v.T = false, nil, nil, 0, 1
	v.Volume, v.Measured, v.Link = v.Start, false, ""
	v.Settling = probe.Estimate{State: probe.Empty, SD: math.Inf(1), End: math.NaN()}
	v.Advice.Reason = coach.NoReading
}

func inMillilitres(st *screen.State) {
	v := &st.View
	v.Entries, v.Points, v.Charge = nil, v.Points[:1], 0
	v.Volume = v.Start
	reading(v, 5.21, probe.Settled, 5.21, 0.01)
	v.Advice.Aim = 7.19
	advise(v, coach.Far, 0, 47, 6.76, 6.53, 6.98)
}

// dosing is an order of which drops fall.
func dosing(st *screen.State, drops float64) {
	reading(&st.View, 7.03, probe.Moving, 7.05, 0.1)
	advise(&st.View, coach.Dosing, 0, drops, 7.16, 7.145, 7.175)
	st.View.Ordered, st.View.Falling = true, &view.Falling{Since: 240}
}

func mistaken(st *screen.State) {
	a := &st.View.Advice
	a.Do, a.Reason, a.Weight = coach.Check, coach.Mistaken, 0.97
	a.Mistakes = []coach.Mistake{{Name: "NaOH 1 M half as strong as labelled", Code: "stock:NaOH 1 M:0.5"},
		{Name: "half of the buffer in the beaker", Code: "half"}}
}

func past(st *screen.State) {
	v := &st.View
	v.Entries = append(v.Entries, view.Entry{Seq: 80, T: 231, Stock: 0, Drops: 24, Volume: 1.2 * chem.Millilitre})
	v.Charge = 5.5e-3
	v.Points = append(v.Points, view.Point{After: 4, Charge: v.Charge, PH: sketch(v.Charge)})
	reading(v, 7.29, probe.Settled, 7.29, 0.008)
	advise(v, coach.Past, 2, 7, 7.22, 7.20, 7.24)
	v.Advice.Salt = 0.35e-3
}

func counting(st *screen.State, n float64) {
	advise(&st.View, coach.Far, 0, 6, 7.16, 7.145, 7.175)
	st.Hand.Counting, st.Hand.Counted, st.Hand.Wanted = true, n, 6
}
