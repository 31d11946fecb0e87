package protocol

import (
	"bufio"
	"errors"
	"fmt"
	"io"
)

// maxLine is how long a line of input may be, bytes.
const maxLine = 1 << 20

// errLineTooLong is a line of input that is not read.
var errLineTooLong = fmt.Errorf("a line of more than %d bytes", maxLine)

// nextLine reads the next line with its end. One that is too long is read to its
// end and is errLineTooLong; the next call goes on behind it. The error of the
// stream comes with what there was of the last line.
func nextLine(r *bufio.Reader) ([]byte, error) {
	line, err := r.ReadSlice('\n')
	if !errors.Is(err, bufio.ErrBufferFull) {
		return line, err
	}
	for errors.Is(err, bufio.ErrBufferFull) {
		_, err = r.ReadSlice('\n')
	}
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	return nil, errLineTooLong // at the end of input the next call says so
}
