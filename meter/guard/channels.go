package guard

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/frame"
)

// ErrCounting is a line with a number in front of which nobody knows yet whether
// it counts or names a channel. It is an frame.ErrChannels.
var ErrCounting = fmt.Errorf("%w: or the number in front counts; a few more lines will show which", frame.ErrChannels)

// countsFor is how many lines a number in front has to go up by one each before
// it is a count (choice): meters have fewer channels.
const countsFor = 8

// channels keeps the channels of one meter apart. The zero value is ready.
type channels struct {
	names   []string // in the order in which they were heard
	several bool     // more than one speaks
	counts  bool     // the number in front counts
	ups     int      // times in a row that it went up by one
}

// check refuses the lines of a meter of which more than one channel speaks, and
// nobody has said which one stands in the beaker.
func (c *channels) check(r frame.Result) error {
	switch {
	case c.several:
	case r.Reading.Channel != "":
		c.hear(r.Reading.Channel)
	case r.Ordinal != "" && !c.counts:
		if err := c.count(r.Ordinal); err != nil {
			return err
		}
	}
	if c.several {
		return fmt.Errorf("%w: %s", frame.ErrChannels, strings.Join(c.names, " and "))
	}
	return nil
}

func (c *channels) hear(name string) {
	if !slices.Contains(c.names, name) {
		c.names = append(c.names, name)
	}
	c.several = c.several || len(c.names) > 1
}

// count takes a number in front. Constant, it is the name of the only channel;
// going up by one from line to line it may be a count; coming back to one that
// was there it names channels.
func (c *channels) count(ordinal string) error {
	n, err := strconv.Atoi(ordinal)
	if err != nil || n > frame.MaxChannel {
		c.counts = err == nil
		return nil
	}
	name, last := strconv.Itoa(n), ""
	if len(c.names) > 0 {
		last = c.names[len(c.names)-1]
	}
	switch before, _ := strconv.Atoi(last); {
	case last == "" || name == last && c.ups == 0:
	case n == before+1 && !slices.Contains(c.names, name):
		if c.ups++; c.ups >= countsFor {
			c.counts, c.names = true, nil
			return nil
		}
		c.names = append(c.names, name)
		return ErrCounting
	case name == last:
		return ErrCounting
	default:
		c.several = true
	}
	if !slices.Contains(c.names, name) {
		c.names = append(c.names, name)
	}
	return nil
}

// sameChannel reports whether a line is that of the channel that was chosen.
func sameChannel(chosen string, r frame.Result) bool {
	named := cmp.Or(r.Reading.Channel, r.Ordinal)
	trim := func(s string) string { return strings.ToUpper(strings.TrimLeft(s, "0")) }
	return named != "" && trim(named) == trim(chosen)
}
