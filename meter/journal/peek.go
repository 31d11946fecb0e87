package journal

import (
	"bytes"
	"fmt"
	"io"
	"os"

	"example.org/halfdrop/meter/intake"
)

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
