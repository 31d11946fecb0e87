package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"

	"example.org/halfdrop/meter/intake"
)

// Tail is where the sound part of a journal ends, and what comes after it.
type Tail struct {
	Events int64   // in the sound part; the Seq of the last
	Sum    string  // of the last event
	T      float64 // s, the latest of any event
	Good   int64   // bytes of the sound part
	Lost   int64   // bytes after it that are not an event; 0 if all is sound
	Why    string  // what is wrong with them
	Saved  string  // what another program has done to the file without changing what it says; empty for nothing
}

// Torn reports whether anything comes after the sound part.
func (t Tail) Torn() bool { return t.Lost > 0 }

// Line is the number of the first line after the sound part.
func (t Tail) Line() int64 { return t.Events + 1 }

// Scan hands the events of a journal to each, in order, checking every line
// before it does. Events may be kept. It stops at the first line that is not
// sound and looks whether sound lines follow:
//
//   - none: the end is torn, as a crash leaves it. That is no error; Tail says
//     how much was lost.
//   - some: *DamageError; the events before have been handed over all the same.
//
// A journal that does not begin with a start event is an ErrStart (an empty
// one too), one of an unknown version an ErrFormat. An error of each or of the
// reader ends the scan and is returned. Events of unknown kinds are handed
// over. A t that goes backwards is left to Check.
func Scan(r io.Reader, each func(Event) error) (Tail, error) {
	s := scanner{lines: newLineReader(r)}
	for {
		ln, err := s.lines.next()
		s.tail.Saved = s.lines.saved()
		if errors.Is(err, io.EOF) {
			return s.tail, s.begun()
		}
		if err != nil {
			return s.tail, fmt.Errorf("journal: after line %d: %w", s.tail.Events, err)
		}
		e, err := s.take(ln)
		if errors.Is(err, ErrFormat) || errors.Is(err, ErrStart) {
			return s.tail, fmt.Errorf("journal: %w", err)
		}
		if err != nil {
			return s.rest(ln, err)
		}
		if err := each(e); err != nil {
			return s.tail, err
		}
	}
}

// ScanFile is Scan over a file, which it only reads.
func ScanFile(path string, each func(Event) error) (Tail, error) {
	f, err := intake.Open(path, MaxFile)
	if err != nil {
		return Tail{}, fmt.Errorf("journal: %w", err)
	}
	defer f.Close()
	tail, err := Scan(f, each)
	return tail, at(path, err)
}

// at puts the path into a DamageError, and before any other error of Scan.
func at(path string, err error) error {
	var d *DamageError
	if errors.As(err, &d) {
		d.Path = path
		return err
	}
	if errors.Is(err, ErrStart) || errors.Is(err, ErrFormat) {
		return fmt.Errorf("%s: %w", path, err)
	}
	return err
}

// scanner reads the sound part of a journal.
type scanner struct {
	lines *lineReader
	chain chain
	tail  Tail
	first string // sum of the start event
}

// take checks one line as the next of the sound part.
func (s *scanner) take(ln line) (Event, error) {
	if s.tail.Events == 0 && ln.whole {
		if err := version(ln.text); err != nil {
			return Event{}, err
		}
	}
	body, sum, err := shape(ln)
	if err != nil {
		return Event{}, err
	}
	var want [sumLen]byte
	s.chain.sum(&want, s.tail.Sum, body)
	if string(want[:]) != string(sum) {
		return Event{}, s.misplaced(ln, body, sum)
	}
	e, err := decode(ln.text, body, sum)
	if err != nil {
		return Event{}, fmt.Errorf("not an event: %w", err)
	}
	if e.Seq != s.tail.Events+1 {
		return Event{}, fmt.Errorf("seq is %d where %d is expected", e.Seq, s.tail.Events+1)
	}
	if s.tail.Events == 0 && (e.Kind != Started || e.Start == nil) {
		return Event{}, ErrStart
	}
	if e.Seq == 1 {
		s.first = e.Sum
	}
	s.tail.Events, s.tail.Sum = e.Seq, e.Sum
	s.tail.Good = s.lines.offset
	s.tail.T = max(s.tail.T, e.T)
	return e, nil
}

// misplaced is why a line does not follow on the one before it: it is another
// line than the next, or it was changed.
func (s *scanner) misplaced(ln line, body, sum []byte) error {
	e, err := decode(ln.text, body, sum)
	if err != nil {
		return errSum
	}
	return outOfPlace(e, s.tail.Events+1, s.first)
}

// outOfPlace says what an event is that has not the sum of the one due: the
// beginning of a copy, one from further on, or one that was changed.
func outOfPlace(e Event, due int64, first string) error {
	switch {
	case due > 1 && e.Kind == Started && e.Sum == first:
		return errTwice
	case due > 1 && e.Kind == Started:
		return errOther
	case due == 1 && e.Seq > 1:
		return fmt.Errorf("%w: its beginning is missing, the file begins with event %d", ErrStart, e.Seq)
	case e.Seq > due:
		return missing(due, e.Seq-1)
	}
	return errSum
}

// missing says which events are not there.
func missing(from, to int64) error {
	if from == to {
		return fmt.Errorf("event %d is missing", from)
	}
	return fmt.Errorf("events %d to %d are missing", from, to)
}

// begun is the error of a stream without one sound line.
func (s *scanner) begun() error {
	if s.tail.Events > 0 {
		return nil
	}
	return fmt.Errorf("journal: %w: it is empty", ErrStart)
}

// rest reads on after a line that is not sound and judges what it finds.
func (s *scanner) rest(bad line, why error) (Tail, error) {
	number, offset := bad.number, bad.offset
	if errors.Is(why, errTwice) || errors.Is(why, errOther) {
		return s.tail, &DamageError{Line: number, Offset: offset, Why: why.Error()}
	}
	for {
		ln, err := s.lines.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return s.tail, fmt.Errorf("journal: after line %d: %w", s.lines.number, err)
		}
		if looksSound(ln) {
			return s.tail, &DamageError{Line: number, Offset: offset, Why: why.Error()}
		}
	}
	s.tail.Lost, s.tail.Why = s.lines.offset-offset, why.Error()
	s.tail.Saved = s.lines.saved()
	if s.tail.Events == 0 {
		return s.tail, fmt.Errorf("journal: %w: %w", ErrStart, why)
	}
	return s.tail, nil
}

// Peek reads the start of a journal and its last whole event without reading
// what lies between, to list runs and find one that has not ended. The start
// is checked, the chain up to the last event is not: Scan does that.
func Peek(path string) (first, last Event, err error) {
	f, err := intake.Open(path, MaxFile)
	if err != nil {
		return first, last, fmt.Errorf("journal: %w", err)
	}
	defer f.Close()
	s := scanner{lines: newLineReader(f)}
	ln, err := s.lines.next()
	if err == io.EOF {
		return first, last, at(path, s.begun())
	}
	if err == nil {
		first, err = s.take(ln)
	}
	if err != nil {
		return first, last, fmt.Errorf("journal: %s: the first line: %w", path, err)
	}
	last, err = lastEvent(f)
	if err != nil {
		return first, last, fmt.Errorf("journal: %s: %w", path, err)
	}
	return first, last, nil
}

// lastEvent finds the last whole event from the end backwards.
func lastEvent(f *os.File) (Event, error) {
	info, err := f.Stat()
	if err != nil {
		return Event{}, err
	}
	for size := int64(4 << 10); ; size *= 4 {
		size = min(size, info.Size())
		block := make([]byte, size)
		if _, err := f.ReadAt(block, info.Size()-size); err != nil && err != io.EOF {
			return Event{}, err
		}
		if size < info.Size() { // the block begins within a line
			_, block, _ = bytes.Cut(block, []byte("\n"))
		}
		if e, ok := lastIn(block); ok {
			return e, nil
		}
		if size == info.Size() || size > 2*MaxLine {
			return Event{}, fmt.Errorf("no whole event in its last %d bytes (see what check says)", size)
		}
	}
}

// lastIn is the last whole event in a block of lines.
func lastIn(block []byte) (Event, bool) {
	for end := bytes.LastIndexByte(block, '\n'); end >= 0; end = bytes.LastIndexByte(block[:end], '\n') {
		text := block[bytes.LastIndexByte(block[:end], '\n')+1 : end]
		body, sum, ok := split(text)
		if !ok {
			continue
		}
		if e, err := decode(text, body, sum); err == nil {
			return e, true
		}
	}
	return Event{}, false
}
