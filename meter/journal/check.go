package journal

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"time"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
)

// Finding is one thing that Check has to say of a line.
type Finding struct {
	Line   int64  `json:"line"` // 1 for the first
	Offset int64  `json:"byte"` // of the line's first byte
	Text   string `json:"what"`
}

// String gives the place and the text.
func (f Finding) String() string {
	return fmt.Sprintf("line %d, byte %d: %s", f.Line, f.Offset, f.Text)
}

// Report is what Check found in a journal.
type Report struct {
	Start     *Start    `json:"-"` // nil if there is none that can be read
	Lines     int64     `json:"-"`
	Events    int64     `json:"events"` // lines that are events, sound or not
	Additions int64     `json:"additions"`
	Withdrawn int64     `json:"withdrawn"` // of the additions, by an undo
	Seconds   float64   `json:"seconds"`   // from the start to the last event
	Ended     bool      `json:"ended"`     // the last event is the end
	Sum       string    `json:"sum"`       // of the last line; keep it elsewhere to show that nothing was cut off
	Faults    []Finding `json:"faults"`    // damage, all of it
	Notes     []Finding `json:"notes"`     // worth knowing, but as it was written
	Torn      bool      `json:"torn"`      // the last line was cut short, as a power cut leaves it
	Saved     bool      `json:"saved"`     // the first fault is that an editor saved it anew, which changes nothing of what it says
}

// Sound reports whether no fault was found.
func (r *Report) Sound() bool { return len(r.Faults) == 0 }

// Check reads a journal to its end and reports every fault it finds: torn or
// changed lines, broken sums, gaps in seq, time that goes backwards, a missing
// start, an unknown version. It goes on after each, so that one changed line is
// one fault. The error is that of the reader.
func Check(r io.Reader) (Report, error) {
	c := checker{lines: newLineReader(r), additions: map[int64]bool{}}
	for {
		ln, err := c.lines.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return c.Report, fmt.Errorf("journal: after line %d: %w", c.lines.number, err)
		}
		if c.over {
			continue
		}
		c.line(ln)
	}
	if how := c.lines.saved(); how != "" {
		at := line{number: 1}
		if !c.lines.bom {
			at = c.lines.crAt
		}
		c.Faults = append([]Finding{{at.number, at.offset, how + "; what it says is judged without that"}}, c.Faults...)
		c.Saved = true
	}
	c.Lines = c.lines.number
	if c.Lines == 0 {
		c.fault(line{number: 1}, "the file is empty: it has no start event")
	}
	return c.Report, nil
}

// CheckFile is Check over a file, which it only reads.
func CheckFile(path string) (Report, error) {
	f, err := intake.Open(path, MaxFile)
	if err != nil {
		return Report{}, fmt.Errorf("journal: %w", err)
	}
	defer f.Close()
	r, err := Check(f)
	if err != nil {
		return r, fmt.Errorf("%s: %w", path, err)
	}
	return r, nil
}

// checker keeps what the next line is judged by.
type checker struct {
	Report
	lines     *lineReader
	chain     chain
	seq       int64          // of the last event
	unread    int64          // lines since then that could not be read
	sumLost   bool           // the last of them had no sum
	additions map[int64]bool // sequence numbers, true when withdrawn
	first     string         // sum of the start event
	over      bool           // a copy has begun: what follows is not judged
}

func (c *checker) fault(ln line, format string, args ...any) {
	c.Faults = append(c.Faults, Finding{ln.number, ln.offset, fmt.Sprintf(format, args...)})
}

func (c *checker) note(ln line, format string, args ...any) {
	c.Notes = append(c.Notes, Finding{ln.number, ln.offset, fmt.Sprintf(format, args...)})
}

// line judges one line.
func (c *checker) line(ln line) {
	if ln.number == 1 && ln.whole {
		if err := version(ln.text); err != nil {
			c.fault(ln, "%v", err)
		}
	}
	body, sum, err := shape(ln)
	if err != nil {
		c.fault(ln, "%v%s", err, excerpt(ln.text))
		c.Torn = errors.Is(err, errTorn)
		c.unread, c.sumLost, c.Ended = c.unread+1, true, false
		return
	}
	e, err := decode(ln.text, body, sum)
	if err == nil && c.seq > 0 && e.Kind == Started && e.Sum == c.first {
		c.fault(ln, "%v; what follows is not judged", errTwice)
		c.over = true
		return
	}
	if err != nil {
		c.fault(ln, "not an event: %s%s", jsonReason(err), excerpt(ln.text))
		c.unread, c.Ended = c.unread+1, false
	} else {
		c.event(ln, &e, body)
		c.unread = 0
	}
	c.Sum, c.sumLost = string(sum), false
}

// event judges a line that is an event.
func (c *checker) event(ln line, e *Event, body []byte) {
	c.Events++
	if ln.number == 1 {
		c.first = e.Sum
	}
	if c.Events == 1 && ln.number == 1 && e.Kind != Started && e.Seq > 1 {
		c.fault(ln, "%v", outOfPlace(*e, 1, ""))
		c.seq, c.Seconds, c.Ended = e.Seq, e.T, e.Kind == Ended || e.Kind == MadeUp && c.Ended
		c.count(ln, e)
		return
	}
	if due := c.seq + 1; c.unread == 0 && c.Events > 1 && e.Seq > due && e.Kind != Started && !c.follows(e, body) {
		c.fault(ln, "%v", missing(due, e.Seq-1))
		c.seq = e.Seq - 1
	} else {
		c.sum(ln, e, body)
	}
	c.order(ln, e)
	if why := e.consistent(); why != "" {
		c.fault(ln, "%s", why)
	}
	if !e.Kind.Known() {
		c.note(ln, "unknown kind %q: written by a later version?", e.Kind)
	}
	c.count(ln, e)
	c.Ended = e.Kind == Ended || e.Kind == MadeUp && c.Ended
}

// follows reports whether the sum of an event rests on the line before it.
func (c *checker) follows(e *Event, body []byte) bool {
	var want [sumLen]byte
	c.chain.sum(&want, c.Sum, body)
	return string(want[:]) == e.Sum
}

// sum holds an event against the sum of the line before it.
func (c *checker) sum(ln line, e *Event, body []byte) {
	switch {
	case c.follows(e, body):
	case c.sumLost:
		// That line was named already; this one may be as it was written.
		c.note(ln, "the sum cannot be judged, because it depends on the damaged line before it")
	default:
		c.fault(ln, "%v", errSum)
	}
}

// order judges the place of an event among the others.
func (c *checker) order(ln line, e *Event) {
	switch first := ln.number == 1; {
	case first && e.Start == nil:
		c.fault(ln, "%v", ErrStart)
	case first:
		c.Start = e.Start
	case e.Kind == Started:
		c.fault(ln, "a second start event: two journals in one file?")
	}
	due := c.seq + 1 + c.unread
	// Among unread lines one may hold two events, or none.
	if off := e.Seq - due; off < -c.unread || off > c.unread {
		c.fault(ln, "seq is %d where %d is expected", e.Seq, due)
	}
	c.seq = e.Seq
	if e.T < c.Seconds {
		c.fault(ln, "time goes backwards: t is %g s after %g s", phrase.Decimals(e.T, 3), phrase.Decimals(c.Seconds, 3))
	}
	c.Seconds = max(c.Seconds, e.T)
}

// count keeps the additions, and whether what takes one back finds it.
func (c *checker) count(ln line, e *Event) {
	switch {
	case e.Added != nil:
		c.Additions++
		c.additions[e.Seq] = false
	case e.Undo != nil:
		gone, ok := c.additions[e.Undo.Seq]
		if !ok {
			c.note(ln, "undo of %d, which is not an addition before it", e.Undo.Seq)
		}
		if ok && !gone {
			c.additions[e.Undo.Seq] = true
			c.Withdrawn++
		}
	case e.Correct != nil:
		if _, ok := c.additions[e.Correct.Seq]; !ok {
			c.note(ln, "correction of %d, which is not an addition before it", e.Correct.Seq)
		}
	}
}

// excerpt shows how a damaged line begins, with nothing a terminal obeys.
func excerpt(text []byte) string {
	const most = 40
	if len(text) == 0 {
		return ""
	}
	if len(text) <= most {
		return fmt.Sprintf(" (%+q)", text)
	}
	return fmt.Sprintf(" (begins %+q)", text[:most])
}

// jsonReason is why a line is no event, in words: of encoding/json and time they are those
// of programmers.
func jsonReason(err error) string {
	var kind *json.UnmarshalTypeError
	var form *json.SyntaxError
	var when *time.ParseError
	switch text := err.Error(); {
	case errors.As(err, &kind):
		return fmt.Sprintf("%q is %s, where %s belongs", kind.Field, jsonKind(kind.Value), wanted(kind.Type))
	case errors.As(err, &form):
		return fmt.Sprintf("it is broken at its byte %d: %s", form.Offset, form)
	case errors.As(err, &when):
		return fmt.Sprintf("%q is not a date and time of day, such as 2026-11-26T20:05:38Z", when.Value)
	case strings.Contains(text, "Time.UnmarshalJSON"):
		return `"at" is not a text, where a date and time of day belongs`
	default:
		return strings.TrimPrefix(text, "json: ")
	}
}

// jsonKind is what stands in a field, in words.
func jsonKind(value string) string {
	if _, number, ok := strings.Cut(value, " "); ok {
		return number
	}
	return map[string]string{"string": "a text", "array": "a list", "bool": "true or false", "number": "a number", "object": "an object"}[value]
}

// wanted is what belongs into a field, in words.
func wanted(t reflect.Type) string {
	return cmp.Or(map[reflect.Kind]string{reflect.String: "a text", reflect.Int: "a whole number", reflect.Int64: "a whole number",
		reflect.Float64: "a number", reflect.Bool: "true or false", reflect.Slice: "a list"}[t.Kind()], "an object")
}
