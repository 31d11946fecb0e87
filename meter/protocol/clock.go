package protocol

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// From so many seconds on a time is one of a clock that counts from 1970, and from so many
// on it cannot be in seconds.
const (
	sinceEpoch = 1e9  // September 2001
	inMillis   = 1e11 // the year 5138
)

// clock is what the times of the lines count from: the beginning of the run, or 1970. The
// run itself counts from its beginning.
type clock struct {
	origin float64 // s, taken off the times of the lines
	begun  bool
}

// take brings the time of a line to that of the run, which has come to now, s.
func (c *clock) take(q *request, now float64) error {
	switch {
	case q.T == nil:
		return errors.New(`no "t": each line needs the time in seconds`)
	case *q.T >= inMillis:
		return fmt.Errorf("t = %s is not a time in seconds: milliseconds, or smaller? Send the seconds", plain(*q.T))
	case !(*q.T >= 0): // and what is no number
		return fmt.Errorf("t = %s is not a time in seconds", plain(*q.T))
	case !c.begun && *q.T >= sinceEpoch:
		c.origin = math.Floor(*q.T) - math.Ceil(now)
	case c.begun && (c.origin > 0) != (*q.T >= sinceEpoch):
		return fmt.Errorf("t = %s is of another clock than %s before: one for the whole run", plain(*q.T), plain(now+c.origin))
	}
	t := *q.T - c.origin
	if t < now {
		return fmt.Errorf("t = %s runs backwards, after %s", plain(*q.T), plain(now+c.origin))
	}
	q.T = &t
	if q.Added != nil && q.Added.From != nil {
		from := *q.Added.From - c.origin
		if !(from >= 0 && from <= t) {
			return fmt.Errorf(`"added": "from" %s is not between %s and %s`, plain(*q.Added.From), plain(c.origin), plain(t+c.origin))
		}
		added := *q.Added
		added.From, q.Added = &from, &added
	}
	c.begun = true
	return nil
}

// plain is a time as a line has it.
func plain(t float64) string { return strconv.FormatFloat(t, 'f', -1, 64) }
