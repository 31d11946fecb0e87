package journal

import (
	"fmt"
	"io"
	"sync"
	"time"
)

// syncEvery is how long readings may wait until they are synced.
const syncEvery = time.Second

// Sink is where a Writer puts its lines: Write puts bytes at the end, Sync
// returns once they are on the disk, Truncate cuts back to size bytes.
type Sink interface {
	io.Writer
	Sync() error
	Truncate(size int64) error
}

// Writer appends events to one journal. It may be used by several goroutines.
type Writer struct {
	mu     sync.Mutex
	sink   Sink
	path   string
	now    func() time.Time
	chain  chain
	seq    int64
	sum    string
	t      float64
	size   int64     // bytes of acknowledged lines
	synced time.Time // when the sink was last synced
	dirty  bool      // lines since then
	err    error     // why no more events are taken
}

// Option changes how a Writer works.
type Option func(*Writer)

// WithClock makes the Writer tell by now, and not by the events' own At, when
// readings have to be synced: for runs whose time does not pass like real time.
func WithClock(now func() time.Time) Option { return func(w *Writer) { w.now = now } }

// NewWriter starts a journal on an empty sink; the first event has to be of
// kind Started. Create and Resume do this for files, with a lock.
func NewWriter(s Sink, opts ...Option) *Writer {
	w := &Writer{sink: s}
	for _, o := range opts {
		o(w)
	}
	return w
}

// Append writes e as the next line and fills in its Seq and Sum. When it
// returns nil the line is on the file and, if e.Kind is Durable, on the disk;
// other kinds are synced along with the first event that comes SyncEvery or
// later. On an error e is unchanged and not part of the journal: an ErrEvent or
// ErrBackwards is the caller's mistake; an ErrBroken is for good; after any
// other (a full disk) the file has been cut back to its last whole line and the
// same event may be tried again.
func (w *Writer) Append(e *Event) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.err != nil {
		return w.err
	}
	next := *e
	next.Seq = w.seq + 1
	if err := w.accept(&next); err != nil {
		return w.wrap(err)
	}
	line, sum, err := w.chain.seal(&next, w.sum)
	if err != nil {
		return w.wrap(err)
	}
	if err := w.put(line, e); err != nil {
		return err
	}
	w.seq, w.sum, w.t = next.Seq, sum, e.T
	w.size += int64(len(line))
	e.Seq, e.Sum, e.RawHex = next.Seq, sum, ""
	return nil
}

// accept refuses what would not be a sound journal.
func (w *Writer) accept(e *Event) error {
	if !e.Kind.Known() {
		return fmt.Errorf("%w: unknown kind %q", ErrEvent, e.Kind)
	}
	if why := e.consistent(); why != "" {
		return fmt.Errorf("%w: %s", ErrEvent, why)
	}
	if first := w.seq == 0; first != (e.Kind == Started) {
		return fmt.Errorf("%w: kind %q as line %d: the first line, and no other, is the start", ErrEvent, e.Kind, e.Seq)
	}
	if e.Start != nil && e.Start.Format != Format {
		return fmt.Errorf("%w: a start with format %d; this package writes %d", ErrEvent, e.Start.Format, Format)
	}
	if e.T < w.t {
		return fmt.Errorf("%w: %g s after %g s", ErrBackwards, e.T, w.t)
	}
	return nil
}

// put writes one line and syncs it if it is time, or takes it back.
func (w *Writer) put(line []byte, e *Event) error {
	n, err := w.sink.Write(line)
	if err == nil && n < len(line) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return w.takeBack(fmt.Errorf("write: %w", err))
	}
	w.dirty = true
	at := e.At
	if w.now != nil {
		at = w.now()
	}
	if since := at.Sub(w.synced); !e.Kind.Durable() && since >= 0 && since < syncEvery {
		return nil
	}
	return w.sync(at)
}

// takeBack cuts a half-written line off, so that a later event can be tried;
// a torn line must never be followed by another.
func (w *Writer) takeBack(err error) error {
	if cut := w.sink.Truncate(w.size); cut != nil {
		return w.breakOff(fmt.Errorf("%w; the torn line could not be taken back: %w", err, cut))
	}
	return w.wrap(fmt.Errorf("%w (free some space on the disk, then try again)", err))
}

// sync brings all lines to the disk. After a failure nobody knows what is on
// it (the system may have dropped the pages and report success the next time),
// so the Writer ends there; the line not acknowledged is cut off if possible.
func (w *Writer) sync(at time.Time) error {
	if err := w.sink.Sync(); err != nil {
		err = fmt.Errorf("sync: %w", err)
		if cut := w.sink.Truncate(w.size); cut != nil {
			err = fmt.Errorf("%w; the last line could not be taken back: %w", err, cut)
		}
		return w.breakOff(err)
	}
	w.synced, w.dirty = at, false
	return nil
}

func (w *Writer) breakOff(err error) error {
	w.err = w.wrap(fmt.Errorf("%w (check the disk, then resume the run): %w", ErrBroken, err))
	return w.err
}

func (w *Writer) wrap(err error) error {
	if w.path == "" {
		return fmt.Errorf("journal: %w", err)
	}
	return fmt.Errorf("journal: %s: %w", w.path, err)
}

// Path is the file that is written, or nothing for a Writer from NewWriter.
func (w *Writer) Path() string { return w.path }

// Close syncs what waits and gives the file and its lock free. Closing twice
// does nothing; appending afterwards is an ErrClosed.
func (w *Writer) Close() error {
	w.mu.Lock()
	defer w.mu.Unlock()
	var err error
	if w.err == nil && w.dirty {
		err = w.sync(w.synced)
	}
	if w.sink != nil {
		if c, ok := w.sink.(io.Closer); ok {
			if cerr := c.Close(); err == nil && cerr != nil {
				err = w.wrap(cerr)
			}
		}
		w.sink = nil
		w.err = w.wrap(ErrClosed)
	}
	return err
}
