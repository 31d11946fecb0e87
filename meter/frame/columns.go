package frame

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/meter"
)

// text is a line as the dialect has it: control bytes left out, the checksum
// verified and removed.
func (d *Dialect) text(line []byte) (string, error) {
	if d.drop != "" {
		kept := make([]byte, 0, len(line))
		for _, c := range line {
			if strings.IndexByte(d.drop, c&0x7f) < 0 {
				kept = append(kept, c)
			}
		}
		line = kept
	}
	s, err := Text(line)
	if err != nil || d.spec.Checksum == "" {
		return s, err
	}
	return d.unsum(s)
}

// unsum verifies the checksum at the end of a line and removes it.
func (d *Dialect) unsum(s string) (string, error) {
	n := len(s) - 2
	if n < 1 {
		return "", ErrChecksum
	}
	want, err := strconv.ParseUint(s[n:], 16, 8)
	body, ok := strings.CutSuffix(s[:n], d.spec.SumAfter)
	if err != nil || !ok {
		return "", ErrChecksum
	}
	var sum byte
	for i := range len(body) {
		if d.spec.Checksum == "xor" {
			sum ^= body[i]
		} else {
			sum += body[i]
		}
	}
	if sum != byte(want) {
		return "", ErrChecksum
	}
	return strings.TrimRight(body, " "), nil
}

// read reads a line, or a joined record, by pattern, columns or words.
func (d *Dialect) read(s string) (Result, error) {
	if s == "" {
		return Result{}, fmt.Errorf("%w: an empty line", meter.ErrNotReading)
	}
	if d.words != nil {
		s = d.words.Replace(s)
	}
	switch {
	case d.pattern != nil:
		return d.match(s)
	case len(d.spec.Columns) > 0:
		return d.split(s)
	}
	return readText(s)
}

// match reads a line by the pattern.
func (d *Dialect) match(s string) (Result, error) {
	m := d.pattern.FindStringSubmatch(s)
	if m == nil {
		return Result{}, fmt.Errorf("%w: not in the dialect %s", meter.ErrNotReading, d.spec.Name)
	}
	c := cells{dialect: d}
	unit := Role("°" + d.spec.TempUnit)
	switch d.spec.TempUnit {
	case "":
		unit = RoleC
	case "K":
		unit = RoleK
	}
	for i, role := range []Role{RolePH, RoleMV, unit, RoleStatus, RoleChannel} {
		if at := d.pattern.SubexpIndex(groups[i]); at >= 0 && m[at] != "" {
			if err := c.take(role, m[at]); err != nil {
				return Result{}, fmt.Errorf("%w: group %s holds %q", meter.ErrNotReading, groups[i], m[at])
			}
		}
	}
	return c.result()
}

// split reads a line by its columns: all of them must be there.
func (d *Dialect) split(s string) (Result, error) {
	parts := Columns(s, d.sep)
	if len(parts) != len(d.spec.Columns) {
		return Result{}, fmt.Errorf("%w: %d columns, where the dialect %s has %d", meter.ErrNotReading, len(parts), d.spec.Name, len(d.spec.Columns))
	}
	c := cells{dialect: d}
	for i, role := range d.spec.Columns {
		if err := c.take(role, parts[i]); err != nil {
			return Result{}, fmt.Errorf("%w: column %d is %s and holds %q", meter.ErrNotReading, i+1, string(role), parts[i])
		}
	}
	return c.result()
}

// Columns parts a line at its separator, a blank standing for any number of
// them. Quotation marks and blanks around a column are no part of it.
func Columns(s string, sep byte) []string {
	if sep == Blanks[0] {
		return strings.Fields(s)
	}
	parts := strings.Split(s, string(rune(sep)))
	for i, p := range parts {
		parts[i] = strings.Trim(strings.Trim(strings.TrimSpace(p), `"`), " ")
	}
	return parts
}

// cells gathers the values of one line.
type cells struct {
	dialect *Dialect
	v       value
	channel string
}

// take takes what stands in one column or group.
func (c *cells) take(role Role, s string) (err error) {
	s = strings.TrimSpace(s)
	switch role {
	case RolePH:
		c.v.ph, err = c.dialect.number(s, tokLabel)
		c.v.hasPH = true
	case RoleMV:
		c.v.mv, err = c.dialect.number(s, tokMV)
		c.v.hasMV = true
	case RoleC, RoleF, RoleK:
		c.v.unit = strings.TrimPrefix(string(role), "°")
		if s == "" { // a meter without a probe leaves it empty
			return nil
		}
		c.v.temp, err = c.dialect.number(s, tokUnit)
		c.v.hasTemp = true
	case RoleStatus:
		c.v.flags |= words[strings.ToLower(s)].flags
	case RoleChannel:
		c.channel = strings.ToUpper(s)
	}
	return err
}

// result makes a reading of the values. That a person or a file calls a column
// a temperature is no unit on the line: it has to prove itself for longer.
func (c *cells) result() (Result, error) {
	if !c.v.hasPH && !c.v.hasMV {
		return Result{}, fmt.Errorf("%w: neither pH nor mV", meter.ErrNotReading)
	}
	c.v.shape = c.dialect.spec.Name
	r, err := c.v.result()
	r.Reading.Channel, r.Labelled = c.channel, r.Reading.HasTemp
	return r, err
}

// number reads a number, which may have its own unit behind it or its label
// before it.
func (d *Dialect) number(s string, kind byte) (token, error) {
	tokens, err := lex(s, d.mark)
	var found token
	n := 0
	for _, t := range tokens {
		switch {
		case t.isNumber():
			found = t
			n++
		case t.kind != kind && !(kind == tokUnit && t.kind == tokTemp):
			return token{}, meter.ErrNotReading
		}
	}
	if err != nil || n != 1 {
		return token{}, meter.ErrNotReading
	}
	return found, nil
}
