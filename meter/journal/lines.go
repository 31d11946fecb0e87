package journal

import (
	"bufio"
	"bytes"
	"errors"
	"io"
)

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
