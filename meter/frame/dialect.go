package frame

import (
	"fmt"
	"regexp"
	"strings"

	"example.org/halfdrop/meter"
)

// Dialect reads the lines of a meter that no row of the table fits, by a
// regular expression of its owner.
type Dialect struct {
	name    string
	pattern *regexp.Regexp
	mark    byte
}

// groups are the named groups that a pattern may have.
var groups = map[string]bool{"ph": true, "mv": true, "temp": true, "status": true}

// NewDialect compiles a pattern, in the syntax of Go's package regexp, with
// the named groups ph, mv, temp and status; ph or mv must be there. The whole
// line must fit it. With commas set, numbers have a comma as decimal mark.
func NewDialect(name, pattern string, commas bool) (*Dialect, error) {
	re, err := regexp.Compile(`^(?:` + pattern + `)$`)
	if err != nil {
		return nil, fmt.Errorf("frame: pattern: %w", err)
	}
	for _, g := range re.SubexpNames() {
		if g != "" && !groups[g] {
			return nil, fmt.Errorf("frame: pattern: group %q is not one of ph, mv, temp, status", g)
		}
	}
	if re.SubexpIndex("ph") < 0 && re.SubexpIndex("mv") < 0 {
		return nil, fmt.Errorf("frame: pattern: a group (?P<ph>…) or (?P<mv>…) is needed")
	}
	d := &Dialect{name: name, pattern: re, mark: '.'}
	if commas {
		d.mark = ','
	}
	return d, nil
}

// Read reads one line by the pattern. It is a Parse.
func (d *Dialect) Read(line []byte) (Result, error) {
	if len(line) >= MaxLine {
		return Result{Reading: meter.Reading{Raw: Printable(line[:MaxLine/4]) + "…"}}, ErrTooLong
	}
	r, err := d.read(line)
	if err != nil {
		r = Result{}
	}
	r.Reading.Raw = Printable(line)
	return r, err
}

func (d *Dialect) read(line []byte) (Result, error) {
	s, err := Text(line)
	if err != nil {
		return Result{}, err
	}
	m := d.pattern.FindStringSubmatch(s)
	if m == nil {
		return Result{}, fmt.Errorf("%w: not in the dialect %s", meter.ErrNotReading, d.name)
	}
	v := value{shape: d.name}
	for group, to := range map[string]struct {
		number *token
		has    *bool
	}{"ph": {&v.ph, &v.hasPH}, "mv": {&v.mv, &v.hasMV}, "temp": {&v.temp, &v.hasTemp}} {
		i := d.pattern.SubexpIndex(group)
		if i < 0 || m[i] == "" {
			continue
		}
		if *to.number, err = d.number(m[i]); err != nil {
			return Result{}, fmt.Errorf("%w: group %s holds %q", meter.ErrNotReading, group, m[i])
		}
		*to.has = true
	}
	if i := d.pattern.SubexpIndex("status"); i > 0 {
		v.flags |= words[strings.ToLower(strings.TrimSpace(m[i]))].flags
	}
	if !v.hasPH && !v.hasMV {
		return Result{}, fmt.Errorf("%w: neither pH nor mV", meter.ErrNotReading)
	}
	return v.result()
}

func (d *Dialect) number(s string) (token, error) {
	tokens, err := lex(strings.TrimSpace(s), d.mark)
	if err != nil || len(tokens) != 1 || strings.IndexByte("NIZX", tokens[0].kind) < 0 {
		return token{}, meter.ErrNotReading
	}
	return tokens[0], nil
}
