package frame

import (
	"fmt"
	"slices"

	"example.org/halfdrop/meter"
)

// parts are the pieces of a line, sorted: what is about the reading and not one
// of its numbers is taken out.
type parts struct {
	kept    []token // words and numbers, range words among the numbers
	bare    []token // without the range words
	flags   meter.Flags
	ranges  meter.Flags // of the range words
	ranged  bool        // there are range words
	channel string
	ordinal string
	plain   bool // the ordinal is a bare integer: a number that nobody has named
}

// MaxChannel is the highest number that a number in front may have to be a
// channel (choice); a higher one counts records.
const MaxChannel = 16

// partsOf sorts the tokens of a line. Date and time, a channel and a count may
// stand at its ends, words of the meter about itself anywhere.
func partsOf(tokens []token) (p parts, err error) {
	tokens, err = p.framing(tokens)
	if err != nil {
		return p, err
	}
	for _, t := range tokens {
		switch t.kind {
		case tokStatus:
			p.flags |= t.flags
		case tokNoise:
		case tokCalibration:
			return p, ErrCalibration
		case tokHold:
			return p, ErrHeld
		case tokChannel, tokOrdinal, tokDate, tokTime:
			return p, fmt.Errorf("%w: a date, a time or a channel in the middle of the line", meter.ErrNotReading)
		case tokRange:
			p.ranged, p.ranges = true, p.ranges|t.flags
			p.kept = append(p.kept, t)
		default:
			p.kept, p.bare = append(p.kept, t), append(p.bare, t)
		}
	}
	if p.flags.Has(meter.Stable | meter.Unstable) {
		return p, fmt.Errorf("%w: stable and unstable at once", meter.ErrNotReading)
	}
	return p, nil
}

// framing takes date, time, channel and count from both ends of a line.
func (p *parts) framing(tokens []token) ([]token, error) {
	count := map[byte]int{}
	for len(tokens) > 0 && p.lead(tokens) {
		count[tokens[0].kind]++
		tokens = tokens[1:]
	}
	for len(tokens) > 0 {
		last := tokens[len(tokens)-1]
		if last.kind != tokDate && last.kind != tokTime && last.kind != tokChannel {
			break
		}
		if last.kind == tokChannel && !p.name(last.text) {
			return nil, ErrChannels
		}
		count[last.kind]++
		tokens = tokens[:len(tokens)-1]
	}
	if p.channel != "" && slices.ContainsFunc(tokens, func(t token) bool { return t.kind == tokChannel }) {
		return nil, ErrChannels
	}
	if count[tokDate] > 1 || count[tokTime] > 1 {
		return nil, fmt.Errorf("%w: two dates or times", meter.ErrNotReading)
	}
	return tokens, nil
}

// lead reports whether the first token belongs to no number, and notes what it
// says: date, time, their labels, a channel, a count.
func (p *parts) lead(tokens []token) bool {
	t := tokens[0]
	next := token{}
	if len(tokens) > 1 {
		next = tokens[1]
	}
	switch {
	case t.kind == tokDate || t.kind == tokTime:
		return true
	case t.kind == tokOther && t.text == "t":
		return next.kind == tokDate || next.kind == tokTime
	case t.kind == tokStatus:
		p.flags |= t.flags
		return true
	case t.kind == tokNoise && next.kind == tokChannel:
		return true
	case t.kind == tokChannel:
		return p.name(t.text)
	case p.ordinal != "" || p.channel != "":
		return false
	case t.kind == tokOrdinal:
		p.ordinal = t.text
		return true
	case t.kind == tokInteger && (next.kind == tokDate || next.kind == tokTime):
		p.ordinal = "" // the number of a record
		return true
	case t.kind == tokInteger && t.value >= 1 && len(tokens) > 1 && next.kind != tokLabel && next.kind != tokMV && next.kind != tokUnit && next.kind != tokOther:
		p.ordinal, p.plain = fmt.Sprint(int(t.value)), true
		return true
	case t.kind == tokInteger && (next.kind == tokLabel || next.kind == tokMV) && len(tokens) > 2 && tokens[2].isNumber():
		p.ordinal, p.plain = fmt.Sprint(int(t.value)), true // "2 pH 7.02": the label is that of the number after it
		return true
	}
	return false
}

// name notes a channel; false when there is one already.
func (p *parts) name(channel string) bool {
	if p.channel != "" {
		return false
	}
	p.channel = channel
	return true
}
