package journal

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// MaxLine is the longest line in bytes, its line feed included, that is
// written or read; a longer one is damage.
const MaxLine = 1 << 20

// MaxFile is the size of the largest journal that is read, bytes: 4 GiB are weeks.
const MaxFile = 4 << 30

const (
	sumKey   = `,"sum":"`
	sumEnd   = `"}`
	sumLen   = 32
	tailLen  = len(sumKey) + sumLen + len(sumEnd)
	emptySum = sumKey + sumEnd + "\n"
)

// chain computes sums, with room it uses again.
type chain struct{ buf []byte }

// sum writes the 32 digits for a line whose bytes before the sum are body.
func (c *chain) sum(dst *[sumLen]byte, prev string, body []byte) {
	c.buf = append(append(c.buf[:0], prev...), body...)
	h := sha256.Sum256(c.buf)
	hex.Encode(dst[:], h[:sumLen/2])
}

// seal returns the line of e after the line whose sum is prev, ended by its
// line feed, and the sum. It does not change e.
func (c *chain) seal(e *Event, prev string) (line []byte, sum string, err error) {
	ev := *e
	ev.Sum, ev.RawHex = "", ""
	if !utf8.ValidString(ev.Raw) {
		ev.RawHex = hex.EncodeToString([]byte(ev.Raw))
		ev.Raw = strings.ToValidUTF8(ev.Raw, "\uFFFD")
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(&ev); err != nil {
		return nil, "", fmt.Errorf("%w: %w", ErrEvent, err)
	}
	body, ok := bytes.CutSuffix(b.Bytes(), []byte(emptySum))
	if !ok {
		panic("journal: the sum is not the last key of an encoded event")
	}
	if n := len(body) + tailLen + 1; n > MaxLine {
		return nil, "", fmt.Errorf("%w: its line of %d bytes is longer than %d", ErrEvent, n, MaxLine)
	}
	var s [sumLen]byte
	c.sum(&s, prev, body)
	line = append(append(append(body, sumKey...), s[:]...), sumEnd+"\n"...)
	return line, string(s[:]), nil
}

// split parts a line without its line feed into the hashed bytes and the sum.
func split(line []byte) (body, sum []byte, ok bool) {
	n := len(line) - tailLen
	if n < 1 || line[0] != '{' {
		return nil, nil, false
	}
	tail := line[n:]
	sum = tail[len(sumKey) : len(sumKey)+sumLen]
	if string(tail[:len(sumKey)]) != sumKey || string(tail[len(sumKey)+sumLen:]) != sumEnd || !isHex(sum) {
		return nil, nil, false
	}
	return line[:n], sum, true
}

func isHex(b []byte) bool {
	return !slices.ContainsFunc(b, func(c byte) bool { return (c < '0' || c > '9') && (c < 'a' || c > 'f') })
}

// decode reads the event of a whole line, which split has parted.
func decode(line, body, sum []byte) (Event, error) {
	if e, ok := decodeReading(body, sum); ok {
		return e, nil
	}
	var e Event
	if err := json.Unmarshal(line, &e); err != nil {
		return Event{}, err
	}
	return e, e.restoreRaw()
}

// restoreRaw puts the bytes of a raw line that was not UTF-8 back.
func (e *Event) restoreRaw() error {
	if e.RawHex == "" {
		return nil
	}
	b, err := hex.DecodeString(e.RawHex)
	if err != nil {
		return fmt.Errorf("raw_hex: %w", err)
	}
	e.Raw, e.RawHex = string(b), ""
	return nil
}

// line is one line of a file as it was found.
type line struct {
	text   []byte // without the line feed, and without what plain takes away; valid until the next line is read
	number int64  // 1 for the first
	offset int64  // of the first byte
	whole  bool   // ended by a line feed
	long   bool   // longer than MaxLine; text is cut there
}

// lineReader parts a stream into lines in bounded memory.
type lineReader struct {
	r      *bufio.Reader
	buf    []byte
	number int64
	offset int64
	bom    bool  // the stream began with a byte order mark, which is left out
	crs    int64 // lines that ended in CR LF; the CR is left out
	crAt   line  // the first of them
}

// bom is the byte order mark of UTF-8.
const bom = "\xef\xbb\xbf"

func newLineReader(r io.Reader) *lineReader {
	return &lineReader{r: bufio.NewReaderSize(r, 64<<10)}
}

// next returns the next line, io.EOF after the last, or the error of the
// stream, with which nothing can be said of the bytes read last.
func (l *lineReader) next() (line, error) {
	ln := line{number: l.number + 1, offset: l.offset}
	part, err := l.r.ReadSlice('\n')
	n := int64(len(part))
	if errors.Is(err, bufio.ErrBufferFull) {
		part, n, err = l.collect(part)
	}
	ln.long = n > MaxLine
	if err != nil && (err != io.EOF || n == 0) {
		return line{}, err
	}
	l.number++
	l.offset += n
	ln.whole = err == nil
	ln.text = part
	if ln.whole && !ln.long {
		ln.text = part[:len(part)-1]
	}
	l.plain(&ln)
	return ln, nil
}

// plain takes away what editors and mail programs add: a byte order mark at the
// beginning, and a carriage return at the end of a line. Every line of a journal
// ends in a brace, so that nothing of its own is lost.
func (l *lineReader) plain(ln *line) {
	if ln.number == 1 && bytes.HasPrefix(ln.text, []byte(bom)) {
		ln.text, l.bom = ln.text[len(bom):], true
	}
	if n := len(ln.text); ln.whole && n > 1 && ln.text[n-1] == '\r' && ln.text[n-2] == '}' {
		ln.text = ln.text[:n-1]
		if l.crs++; l.crs == 1 {
			l.crAt = line{number: ln.number, offset: ln.offset}
		}
	}
}

// collect gathers a line that does not fit the buffer, keeping MaxLine bytes.
func (l *lineReader) collect(part []byte) (text []byte, n int64, err error) {
	l.buf = append(l.buf[:0], part...)
	n = int64(len(part))
	for err = bufio.ErrBufferFull; errors.Is(err, bufio.ErrBufferFull); {
		part, err = l.r.ReadSlice('\n')
		n += int64(len(part))
		if room := MaxLine - len(l.buf); len(part) > room {
			part = part[:room]
		}
		l.buf = append(l.buf, part...)
	}
	return l.buf, n, err
}

// What can be wrong with a line, in the words that a person reads.
var (
	errTorn  = errors.New("the line is not ended: it was cut short")
	errLong  = fmt.Errorf("the line is longer than %d bytes", MaxLine)
	errBlank = errors.New("the line is blank")
	errNUL   = errors.New("the line holds zero bytes, as a power cut leaves them")
	errWide  = errors.New("the file was saved as UTF-16: save it as UTF-8 without anything else")
	errTwice = errors.New("the journal begins again here: the file holds it twice")
	errOther = errors.New("another journal begins here: two were put into one file")
	errShape = errors.New(`the line does not end in its "sum"`)
	errSum   = errors.New("the sum does not match: this line was changed, or one before it is missing")
)

// shape parts a line into the hashed bytes and the sum, or says what it lacks.
func shape(ln line) (body, sum []byte, err error) {
	body, sum, ok := split(ln.text)
	switch {
	case ln.long:
		err = errLong
	case !ln.whole:
		err = errTorn
	case ok:
		return body, sum, nil
	case ln.number == 1 && (bytes.HasPrefix(ln.text, []byte("\xff\xfe")) || bytes.HasPrefix(ln.text, []byte("\xfe\xff"))):
		err = errWide
	case len(bytes.TrimSpace(ln.text)) == 0:
		err = errBlank
	case bytes.IndexByte(ln.text, 0) >= 0:
		err = errNUL
	default:
		err = errShape
	}
	return nil, nil, err
}

// looksSound reports whether a line after damage is an event by itself, though
// nobody can tell whether it follows on what came before.
func looksSound(ln line) bool {
	_, _, err := shape(ln)
	return err == nil && json.Valid(ln.text)
}

// version refuses a first line of another version of the format before its sum
// is looked at, since a later version may form it in another way.
func version(text []byte) error {
	var v struct {
		Start *struct {
			Format int `json:"format"`
		} `json:"start"`
	}
	if json.Unmarshal(text, &v) != nil || v.Start == nil || v.Start.Format == Format {
		return nil
	}
	return fmt.Errorf("%w %d; this program knows %d (use the version of halfdrop that wrote it, or a newer one)",
		ErrFormat, v.Start.Format, Format)
}

// saved is what another program has done to the file without changing what it
// says, in one sentence; empty for nothing.
func (l *lineReader) saved() string {
	switch {
	case l.bom && l.crs > 0:
		return fmt.Sprintf("an editor has saved the file again: with a byte order mark, and %s", l.ends())
	case l.bom:
		return "an editor has put a byte order mark before the file"
	case l.crs > 0:
		return "an editor or a mail program has changed the line ends: " + l.ends()
	}
	return ""
}

func (l *lineReader) ends() string {
	return fmt.Sprintf("%d of %d lines end in CR LF", l.crs, l.number)
}
