// Package replaytest makes runs to look back on, for the tests of other rooms.
package replaytest

import (
	"bytes"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
)

// Sheet is a journal in memory.
type Sheet struct{ bytes.Buffer }

// Sync and Truncate make it the Sink of a journal.
func (s *Sheet) Sync() error { return nil }

// Truncate takes back what a line that failed has left.
func (s *Sheet) Truncate(size int64) error { s.Buffer.Truncate(int(size)); return nil }

// Of is a run made of events, by way of the journal that they would stand in.
func Of(events []journal.Event) (*replay.Run, error) {
	var s Sheet
	w := journal.NewWriter(&s)
	for _, e := range events {
		if err := w.Append(&e); err != nil {
			return nil, err
		}
	}
	return replay.Read(&s)
}
