package recorded

import "fmt"

// Unused are the lines of a meter that were no readings, and the readings that were refused.
// It is a value; the zero value is none.
type Unused struct {
	count   int    // of all
	row     int    // lines since the latest reading that were none
	refusal string // of the reading that was refused last; empty once one was used
	last    unused
}

// unused is a line or a reading that was not used, and why.
type unused struct {
	t        float64
	raw, why string
	opening  bool
}

// Figures of judgement about lines that are no reading, a choice of this project.
const (
	holds     = 2    // in a row that keep an addition back: one damaged line says nothing of the reading before it
	unusedFor = 10.0 // s for which one is spoken of
)

// Refuse is with a reading more that is not used, at t, s.
func (u Unused) Refuse(t float64, raw, why string) Unused {
	u.count++
	u.refusal, u.last = why, unused{t: t, raw: raw, why: why}
	return u
}

// Line is with a line more that is no reading, at t, s. While a port is opening, lines begin
// in their middle as a rule: one does not count, and a reading makes up for it.
func (u Unused) Line(t float64, raw, why string, opening bool) Unused {
	u.last = unused{t, raw, why, opening}
	if !opening {
		u.count++
		u.row++
	}
	return u
}

// Used is after a reading that was used.
func (u Unused) Used() Unused {
	u.refusal, u.row = "", 0
	return u
}

// Count is how many there were.
func (u Unused) Count() int { return u.count }

// Refusal is why the latest reading was refused; empty where it was used.
func (u Unused) Refusal() string { return u.refusal }

// Holds reports whether they keep an addition back, and when the latest came, s.
func (u Unused) Holds() (at float64, ok bool) { return u.last.t, u.refusal != "" || u.row >= holds }

// Words say what was not used and why, for a while, and not once a reading, the latest at
// read, s, has made up for it.
func (u Unused) Words(now, read float64) string {
	l := u.last
	if now-l.t >= unusedFor || l.opening && read > l.t {
		return ""
	}
	if l.raw == "" {
		return l.why
	}
	return fmt.Sprintf("“%s”: %s", head(l.raw), l.why)
}

// head is the beginning of a line, for a sentence.
func head(raw string) string {
	const most = 24
	if r := []rune(raw); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return raw
}
