package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
)

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
