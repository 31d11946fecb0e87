package frame

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/meter"
)

// field is a number of a line with the words that belong to it.
type field struct {
	number token
	what   quantity
	unit   string // of a temperature: C, F or K; empty when only a label says that it is one
}

// quantity is what a number of a line is.
type quantity uint8

const (
	unnamed quantity = iota // no word belongs to it
	isPH
	isMV
	isTemp
	isOther // something that is passed over: a conductivity, a time, an identity
)

var quantityNames = [...]string{"a number without a name", "pH", "mV", "temperature", "another quantity"}

// maxFields is how many numbers a line may hold; more is no line of a meter.
const maxFields = 10

// fieldsOf shares the words of a line out among its numbers: a word between
// two numbers is the unit of the one before or the label of the one after.
// Every way in which all words find a number is tried; those that say the same
// are one. The error is ErrAmbiguous when the line can be understood in two ways.
func fieldsOf(tokens []token) ([]field, error) {
	s := sharing{}
	for _, t := range tokens {
		if t.isNumber() {
			s.fields = append(s.fields, field{number: t})
			s.gaps = append(s.gaps, nil)
			continue
		}
		if len(s.gaps) == 0 {
			s.gaps = append(s.gaps, nil)
		}
		s.gaps[len(s.gaps)-1] = append(s.gaps[len(s.gaps)-1], t)
	}
	switch {
	case len(s.fields) == 0:
		return nil, fmt.Errorf("%w: no number on the line", meter.ErrNotReading)
	case len(s.fields) > maxFields:
		return nil, fmt.Errorf("%w: more than %d numbers", meter.ErrNotReading, maxFields)
	case len(s.gaps) == len(s.fields): // the line begins with a number
		s.gaps = append([][]token{nil}, s.gaps...)
	}
	s.share(0, nil)
	return s.best()
}

// sharing is the search for what the words of a line belong to. gaps[i] are
// the words before number i, the last ones those at the end of the line.
type sharing struct {
	fields []field
	gaps   [][]token
	found  [][]field
}

// share gives number i its labels, which are the words of gap i from some
// place on, and goes on with the next; units are what number i−1 got.
func (s *sharing) share(i int, units []token) {
	gap := s.gaps[i]
	for cut := 0; cut <= len(gap); cut++ {
		if i == 0 && cut > 0 || i == len(s.fields) && cut < len(gap) {
			continue // before the first number all are labels, after the last all are units
		}
		before, after := gap[:cut], gap[cut:]
		if slices.ContainsFunc(before, func(t token) bool { return t.binds }) || !labels(after) { // what binds names what follows it
			continue
		}
		if i > 0 {
			f := &s.fields[i-1]
			var ok bool
			if f.what, f.unit, ok = meaning(units, before); !ok {
				continue
			}
		}
		if i == len(s.fields) {
			s.found = append(s.found, append([]field(nil), s.fields...))
			continue
		}
		s.share(i+1, after)
	}
}

// labels reports whether words can stand before their number: units do so only
// where a colon says it.
func labels(words []token) bool {
	said := false
	for i := len(words) - 1; i >= 0; i-- {
		said = said || words[i].binds
		if unit := words[i].kind == tokUnit || words[i].kind == tokOther && words[i].text == "u"; unit && !said {
			return false
		}
	}
	return true
}

// meaning is what the labels before and the units after a number make of it.
func meaning(before, after []token) (what quantity, unit string, ok bool) {
	count := map[byte]int{}
	for _, t := range append(append([]token(nil), before...), after...) {
		count[t.kind]++
		if t.kind == tokUnit {
			unit = t.text
		}
	}
	for _, t := range after {
		if t.kind == tokTemp {
			return 0, "", false // a label, and no unit
		}
		for _, b := range before {
			if t.kind == b.kind && t.kind != tokOther {
				return 0, "", false // said twice: two lines run together
			}
		}
	}
	n := len(before) + len(after)
	switch {
	case n == 0:
		return unnamed, "", true
	case count[tokLabel] == n:
		return isPH, "", true
	case count[tokMV] == n:
		return isMV, "", true
	case count[tokTemp]+count[tokUnit] == n && count[tokUnit] < 2:
		return isTemp, unit, true
	case count[tokOther] > 0 && count[tokOther]+count[tokMV] == n:
		return isOther, "", true
	}
	return 0, "", false
}

// best is the one way of sharing that can be true. Of several, those in which a
// value cannot be what it is called are dropped; two that differ are ambiguous.
func (s *sharing) best() ([]field, error) {
	var kept []field
	bad := fmt.Errorf("%w: its words and numbers do not fit together in any way", meter.ErrNotReading)
	for _, fields := range s.found {
		if err := sound(fields); err != nil {
			if isImpossible(err) || kept == nil && !isImpossible(bad) {
				bad = err
			}
			continue
		}
		if kept != nil && !alike(kept, fields) {
			return nil, ErrAmbiguous
		}
		kept = fields
	}
	if kept == nil {
		return nil, bad
	}
	return kept, nil
}

// sound reports whether the fields can be those of one line: each quantity
// once, and a pH that is one.
func sound(fields []field) error {
	count := map[quantity]int{}
	for _, f := range fields {
		count[f.what]++
		t := f.number
		switch {
		case f.what != isOther && f.what != unnamed && count[f.what] > 1:
			return fmt.Errorf("%w: two numbers are called %s", meter.ErrNotReading, quantityNames[f.what])
		case f.what == isPH:
			if err := judgePH(t, false); err != nil {
				return err
			}
		}
	}
	return nil
}

func alike(a, b []field) bool {
	return slices.EqualFunc(a, b, func(x, y field) bool { return x.what == y.what && x.unit == y.unit })
}

// valueOf picks pH, mV and temperature out of the fields of a line. A number
// that nobody has named is the pH only when it is the only one, and looks like one.
func valueOf(fields []field) (value, error) {
	var v value
	var names []string
	var bare []token
	others := 0
	for _, f := range fields {
		name := quantityNames[f.what]
		switch f.what {
		case isPH:
			v.ph, v.hasPH = f.number, true
		case isMV:
			v.mv, v.hasMV = f.number, true
		case isTemp:
			v.temp, v.hasTemp, v.unit = f.number, true, f.unit
			if f.unit == "C" || f.unit == "F" {
				name = "°" + f.unit
			} else if f.unit == "K" {
				name = "K"
			}
		case isOther:
			others++
		default:
			bare = append(bare, f.number)
		}
		names = append(names, name)
	}
	v.shape = strings.Join(names, ", ")
	if len(names) == 1 && len(bare) == 1 {
		v.shape = "a bare number"
	}
	if v.hasPH || len(bare) == 0 {
		if v.unnamed = len(bare); v.unnamed > 3 {
			return v, ErrUnnamed
		}
		if len(bare) == 1 && bare[0].kind == tokInteger && bare[0].value <= MaxChannel {
			v.ordinal = fmt.Sprint(int(bare[0].value)) // it may be that of a channel
		}
		return v, nil
	}
	return v.takeBare(bare, others)
}

// takeBare makes a pH of the only number without a name, when it looks like
// one: two decimals, and no exponent that makes it small.
func (v value) takeBare(bare []token, others int) (value, error) {
	t := bare[0]
	switch {
	case v.hasMV && (len(bare) > 1 || !t.fits(v.mv)):
		v.unnamed = len(bare)
		return v, nil
	case len(bare) > 1 || others > 0:
		return v, ErrUnnamed
	case t.kind == tokRange || t.kind == tokNoValue:
	case !possiblePH(t.value):
		return v, fmt.Errorf("%w: %g", meter.ErrImpossible, t.value)
	case t.decimals < 2 || t.small:
		return v, fmt.Errorf("%w, and it does not have the form of one", ErrUnnamed)
	}
	v.ph, v.hasPH, v.guessed = t, true, true
	return v, nil
}

// fits reports whether a number without a name beside a potential can be the
// pH that belongs to it: 59 mV to a pH from 7, an electrode's zero and slope
// being off by as much as one pH (choice).
func (t token) fits(mv token) bool {
	if t.kind != tokNumber || mv.kind == tokNoValue || mv.kind == tokRange {
		return false
	}
	return t.decimals >= 2 && !t.small && math.Abs(7-mv.value/59.16-t.value) < 1
}
