package frame

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/meter"
)

// sentence reads a line such as $XXPHM,7.021,25.1*5A: a name, fields, and the
// exclusive-or of all bytes between $ and * in two hexadecimal digits, in the
// manner of NMEA 0183. A sentence without a checksum is no reading, and one
// whose name and fields do not say pH or mV is that of another instrument.
func sentence(s string) (Result, error) {
	body, sum, ok := strings.Cut(s[1:], "*")
	want, err := strconv.ParseUint(sum, 16, 8)
	if !ok || err != nil || len(sum) != 2 {
		return Result{}, fmt.Errorf("%w: a sentence without its checksum", meter.ErrNotReading)
	}
	if byte(want) != Checksum(body) {
		return Result{}, ErrChecksum
	}
	name, fields, _ := strings.Cut(body, ",")
	tokens, err := lex(fields, '.')
	if err != nil {
		return Result{}, err
	}
	labelled := false
	for _, t := range tokens {
		labelled = labelled || t.kind == tokLabel || t.kind == tokMV
	}
	if !labelled {
		// Two letters say who talks, the rest what: GPHDT is a heading.
		if len(name) < 4 || !strings.HasPrefix(strings.ToUpper(name[2:]), "PH") {
			return Result{}, fmt.Errorf("%w: sentence %q says neither pH nor mV", meter.ErrNotReading, name)
		}
		tokens = append([]token{{kind: tokLabel, binds: true}}, tokens...)
	}
	r, err := match(tokens)
	r.Form.Shape = "checksum sentence: " + r.Form.Shape
	return r, err
}

// Checksum is the exclusive-or of the bytes of s.
func Checksum(s string) (sum byte) {
	for i := range len(s) {
		sum ^= s[i]
	}
	return sum
}
