package journal

import "strconv"

// decodeReading is the fast way for readings, of which a long run has hundreds
// of thousands: it takes exactly what a Writer writes, in the order of the
// fields, with plain strings; false leaves any other line to encoding/json,
// with the same result. body is a line before its sum, sum the digits.
func decodeReading(body, sum []byte) (Event, bool) {
	c := cursor{rest: body, ok: true}
	var e Event
	p := &packed{}
	c.skip(`{"seq":`)
	e.Seq = c.integer()
	c.skip(`,"at":`)
	at := c.plain()
	c.skip(`,"t":`)
	e.T = c.number()
	c.skip(`,"kind":"reading","reading":{`)
	c.reading(p)
	raw := []byte(nil)
	if c.has(`,"raw":`) {
		raw = c.plain()
	}
	if !c.ok || len(c.rest) > 0 || e.At.UnmarshalText(at) != nil {
		return Event{}, false
	}
	e.Kind, e.Reading = Read, &p.Reading
	both := string(append(append(make([]byte, 0, 128), raw...), sum...))
	e.Raw, e.Sum = both[:len(raw)], both[len(raw):]
	return e, true
}

// packed is a reading with all it points to, as one piece of memory.
type packed struct {
	Reading
	ph, mv, tempC float64
	flag          [1]string
}

// reading takes the fields of a Reading and its closing brace.
func (c *cursor) reading(p *packed) {
	if c.has(`"ph":`) {
		p.ph = c.number()
		p.PH = &p.ph
		c.skip(`,`)
	}
	if c.has(`"mv":`) {
		p.mv = c.number()
		p.MV = &p.mv
		c.skip(`,`)
	}
	if c.has(`"temp_c":`) {
		p.tempC = c.number()
		p.TempC = &p.tempC
		c.skip(`,`)
	}
	c.skip(`"decimals":`)
	p.Decimals = int(c.integer())
	if c.has(`,"flags":[`) {
		p.Flags = c.flags(p.flag[:0:1])
	}
	if c.has(`,"refused":`) {
		p.Refused = string(c.plain())
	}
	p.Typed, p.Stands, p.Same = c.has(`,"typed":true`), c.has(`,"stands":true`), c.has(`,"same":true`)
	c.skip(`}`)
}

// flags takes a list of one flag or more and its closing bracket.
func (c *cursor) flags(into []string) []string {
	for c.ok {
		into = append(into, flagName(c.plain()))
		if !c.has(`,`) {
			break
		}
	}
	c.skip(`]`)
	return into
}

// flagName saves memory on the flags that come again and again.
func flagName(b []byte) string {
	switch string(b) {
	case "stable":
		return "stable"
	case "unstable":
		return "unstable"
	}
	return string(b)
}

// cursor takes JSON apart from the front; once ok is false it stays so.
type cursor struct {
	rest []byte
	ok   bool
}

// has takes s if it comes next.
func (c *cursor) has(s string) bool {
	if len(c.rest) < len(s) || string(c.rest[:len(s)]) != s {
		return false
	}
	c.rest = c.rest[len(s):]
	return true
}

// skip takes s, which must come next.
func (c *cursor) skip(s string) { c.ok = c.has(s) && c.ok }

// plain takes a string of printable ASCII without escapes; the rest is left to
// encoding/json.
func (c *cursor) plain() []byte {
	c.skip(`"`)
	for i, b := range c.rest {
		if b == '"' {
			s := c.rest[:i]
			c.rest = c.rest[i+1:]
			return s
		}
		if b < ' ' || b > '~' || b == '\\' {
			break
		}
	}
	c.ok = false
	return nil
}

// digits takes digits and counts them.
func (c *cursor) digits() (n int) {
	for n < len(c.rest) && c.rest[n] >= '0' && c.rest[n] <= '9' {
		n++
	}
	c.rest = c.rest[n:]
	return n
}

// whole takes the part of a JSON number before its point or exponent.
func (c *cursor) whole() {
	c.has("-")
	if !c.has("0") && c.digits() == 0 {
		c.ok = false
	}
}

func (c *cursor) integer() int64 {
	from := c.rest
	c.whole()
	v, err := strconv.ParseInt(string(from[:len(from)-len(c.rest)]), 10, 64)
	c.ok = c.ok && err == nil
	return v
}

func (c *cursor) number() float64 {
	from := c.rest
	c.whole()
	if c.has(".") && c.digits() == 0 {
		c.ok = false
	}
	if c.has("e") || c.has("E") {
		if !c.has("+") {
			c.has("-")
		}
		c.ok = c.digits() > 0 && c.ok
	}
	v, err := strconv.ParseFloat(string(from[:len(from)-len(c.rest)]), 64)
	c.ok = c.ok && err == nil
	return v
}
