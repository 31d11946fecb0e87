package serialtest

import (
	"testing"
	"time"

	"example.org/halfdrop/meter"
)

// Garble is what a receiver set to read baud makes of data sent at sent baud,
// both with 8 data bits and no parity: the waveform is sampled in the middle of
// each bit of the receiver, after a falling edge. A byte whose stop bit is
// missing is delivered as it is, as Linux does when no parity is checked.
func Garble(data []byte, sent, read int) []byte {
	if sent == read {
		return data
	}
	var wave []bool // one element a bit of the sender
	for _, c := range data {
		wave = append(wave, false)
		for bit := range 8 {
			wave = append(wave, c>>bit&1 == 1)
		}
		wave = append(wave, true)
	}
	// level is the line at a time in bits of the sender; it idles high.
	level := func(t float64) bool {
		i := int(t)
		return i >= len(wave) || wave[i]
	}
	bit := float64(sent) / float64(read)
	const look = 1.0 / 16 // of a bit of the receiver, the usual oversampling
	var out []byte
	for t := 0.0; int(t) < len(wave); t += bit * look {
		if level(t) || level(t+bit/2) { // no start, or too short for one
			continue
		}
		var c byte
		for i := range 8 {
			if level(t + bit*(1.5+float64(i))) {
				c |= 1 << i
			}
		}
		out = append(out, c)
		t += bit * 9.5
		for int(t) < len(wave) && !level(t) { // wait for the line to go high again
			t += bit * look
		}
	}
	return out
}

// Await takes reports until one fits, however long this machine takes: it fails after a
// minute only.
func Await(t testing.TB, reports <-chan meter.Report, what string, fits func(meter.Report) bool) meter.Report {
	t.Helper()
	limit := time.After(time.Minute)
	for {
		select {
		case r := <-reports:
			if fits(r) {
				return r
			}
		case <-limit:
			t.Fatalf("did not come: %s", what)
		}
	}
}

// Link fits a report on the line.
func Link(l meter.Link) func(meter.Report) bool {
	return func(r meter.Report) bool { return r.Kind == meter.GotLink && r.Link == l }
}

// Reading fits a report that is a reading.
func Reading(r meter.Report) bool { return r.Kind == meter.GotReading }
