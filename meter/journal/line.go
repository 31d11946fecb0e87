package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
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
	for _, c := range b {
		if (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
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
