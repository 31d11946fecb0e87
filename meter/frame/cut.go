package frame

import "bytes"

// Cut finds the first line in buf and says how many bytes it took with its
// terminator; n is 0 when there is no complete line. An empty terminator
// stands for CR or LF. Terminators at the front come as an empty line.
//
// When buf holds far more than MaxLine bytes without a terminator, the front
// of them comes as a line too long to be read, and enough is left for the rest
// to be too long as well.
func Cut(buf []byte, terminator string) (line []byte, n int) {
	at, size := end(buf, terminator)
	if n := block(buf); n > 0 && terminator == "" && (at < 0 || n <= at) {
		return buf[:n], n
	}
	switch {
	case at == 0:
		for at == 0 {
			n += size
			at, size = end(buf[n:], terminator)
		}
		return nil, n
	case at > 0:
		return buf[:at], at + size
	case len(buf) > 2*MaxLine:
		n = len(buf) - MaxLine
		return buf[:n], n
	}
	return nil, 0
}

// block is the length of a line that begins with STX up to its ETX, which ends
// it when no other terminator has; 0 when there is none.
func block(buf []byte) int {
	if len(buf) == 0 || buf[0]&0x7f != 0x02 {
		return 0
	}
	for i, c := range buf {
		if c&0x7f == 0x03 {
			return i + 1
		}
	}
	return 0
}

// end finds the first terminator in buf; at is -1 when there is none.
func end(buf []byte, terminator string) (at, size int) {
	if terminator != "" {
		return bytes.Index(buf, []byte(terminator)), len(terminator)
	}
	for i, c := range buf {
		// A terminator shows under its parity bit; no alphabet that a line may
		// hold has a letter at 0x8A or 0x8D.
		if c &= 0x7f; c == '\r' || c == '\n' {
			return i, 1
		}
	}
	return -1, 0
}
