package replay

import (
	"errors"
	"fmt"
	"io"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
)

// Run is a run to look back on. It is not changed by use.
type Run struct {
	First journal.Event // the start
	Tail  journal.Tail  // where its sound part ends, and what is lost after it

	items   []item
	others  []journal.Event // all events that are not plain readings
	snaps   []run.State     // after 0, snapEvery, 2·snapEvery … events
	ends    []ending        // how each composition stood when it was left
	end     run.State
	spotted []Mark // what the readings said was wrong
}

// item is an event after the start: a plain reading, or one of the others.
type item struct {
	t, v, temp float64 // s; pH or mV; °C, NaN when not sent
	other      int32   // place in others, or −1 for a plain reading
	decimals   int8
	mv         bool
}

// snapEvery is how many events lie between two states that are kept.
const snapEvery = 2048

// Open reads a journal. The sound part of a torn one is what is shown; one
// damaged in the middle is an error. Reading and folding go on side by side.
func Open(path string) (*Run, error) {
	f, err := intake.Open(path, journal.MaxFile)
	if err != nil {
		return nil, fmt.Errorf("replay: %w", err)
	}
	defer f.Close()
	r, err := Read(f)
	if err != nil {
		return nil, fmt.Errorf("replay: %s: %w", path, err)
	}
	return r, nil
}

// batch is how many events are handed over at once.
const batch = 512

// Read is Open from a reader.
func Read(in io.Reader) (*Run, error) {
	batches := make(chan []journal.Event, 8)
	stop := make(chan struct{})
	scanned := make(chan error, 1)
	var tail journal.Tail
	go func() {
		defer close(batches)
		var err error
		tail, err = scan(in, batches, stop)
		scanned <- err
	}()
	b := builder{run: &Run{}}
	var failed error
	for list := range batches {
		for i := range list {
			if failed == nil {
				if failed = b.take(list[i]); failed != nil {
					close(stop)
				}
			}
		}
	}
	if err := <-scanned; failed == nil && err != nil {
		return nil, err
	}
	if failed != nil {
		return nil, failed
	}
	b.finish()
	b.run.Tail = tail
	return b.run, nil
}

// errStopped ends a scan whose events are no longer wanted.
var errStopped = errors.New("replay: stopped")

func scan(in io.Reader, out chan<- []journal.Event, stop <-chan struct{}) (journal.Tail, error) {
	list := make([]journal.Event, 0, batch)
	send := func() error {
		select {
		case out <- list:
		case <-stop:
			return errStopped
		}
		list = make([]journal.Event, 0, batch)
		return nil
	}
	tail, err := journal.Scan(in, func(e journal.Event) error {
		if list = append(list, e); len(list) == batch {
			return send()
		}
		return nil
	})
	if err == nil {
		err = send()
	}
	return tail, err
}

// Of is a run made of events, for runs that are in memory.
func Of(events []journal.Event) (*Run, error) {
	b := builder{run: &Run{}}
	for i := range events {
		if err := b.take(events[i]); err != nil {
			return nil, err
		}
	}
	if b.run.First.Kind == "" {
		return nil, fmt.Errorf("replay: %w", run.ErrFirst)
	}
	b.finish()
	b.run.Tail = journal.Tail{Events: int64(len(events)), T: b.run.end.T}
	return b.run, nil
}
