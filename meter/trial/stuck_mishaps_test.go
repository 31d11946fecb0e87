package trial

import (
	"math"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/recorded"
)

// happens lets the mishap of the run come.
func (w *world) happens() {
	if w.mishap == "" || w.sec < w.at || w.giving != nil {
		return
	}
	latest, any := w.k.State.Latest()
	what := w.mishap
	w.mishap = ""
	w.steady = w.sec
	switch what {
	case "splash":
		w.strayed = true
		if err := w.sim.Dispense(w.b.Setup.Stocks[0].Name, math.Ceil(w.b.Drops/10), 0); err != nil {
			w.fail("sim: %v", err)
		}
	case "undo":
		if any {
			w.take(journal.Event{Kind: journal.Undone, Undo: &journal.Undo{Seq: latest.Seq}})
			if w.r.IntN(2) == 0 {
				a, _ := w.k.State.Addition(w.k.State.Setup.Stocks[latest.Stock].Name, latest.Drops, 0)
				w.take(journal.Event{Kind: journal.Added, Added: &a})
			} else {
				w.strayed = true
			}
		}
	case "line":
		w.take(journal.Event{Kind: journal.LinkChange, Link: &journal.Link{State: "lost", Note: "unplugged"}})
		w.until = w.sec + 30
	case "pause":
		w.until = w.sec + 40
	case "out", "freeze":
		w.until = w.sec + 25
	case "wild":
		for _, y := range []float64{14.3, -0.4, 13.9}[:1+w.r.IntN(3)] {
			w.take(journal.Event{Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2}})
		}
		return
	default: // of the hands
		w.mishap = what
		return
	}
	w.tell("%s", what)
	if w.until > 0 {
		w.mishap = "…" + what
	}
}

// reads takes what the meter sends, if it does.
func (w *world) reads() {
	reading := recorded.Reading(w.sim.Sample())
	if w.sec < w.until {
		w.steady = w.sec
		switch w.mishap {
		case "…out":
			y := math.Round(100*(5.8+0.02*w.r.NormFloat64())) / 100
			reading.PH = &y
		case "…freeze":
			if w.last.HasReading {
				y := w.last.PH
				reading.PH = &y
			}
		default:
			return
		}
	} else if w.until > 0 {
		if w.mishap == "…line" {
			w.take(journal.Event{Kind: journal.LinkChange, Link: &journal.Link{State: "live"}})
		}
		w.until, w.mishap = 0, ""
		clear(w.answered) // it moves again
	}
	w.take(journal.Event{Kind: journal.Read, Reading: reading})
}
