package serialtest

import (
	"testing"
	"time"

	"example.org/halfdrop/meter"
)

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
