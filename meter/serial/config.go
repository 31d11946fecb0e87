package serial

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	bug "go.bug.st/serial"

	"example.org/halfdrop/meter/frame"
)

// Parity is the parity bit of a character.
type Parity = bug.Parity

// The parities.
const (
	Odd  = bug.OddParity
	Even = bug.EvenParity
	Mark = bug.MarkParity
)

// parityLetters are those of the usual notation: none, odd, even, mark and space.
const parityLetters = "NOEMS"

// Defaults of a Config. 9600 8N1 is what most such devices leave the factory
// with (common practice, no source).
const (
	defaultBaud     = 9600
	defaultBits     = 8
	defaultStop     = 1
	defaultQuiet    = 2500 * time.Millisecond
	defaultInterval = time.Second
	defaultRetry    = 500 * time.Millisecond
)

// Config says how to speak with a meter. The zero value of every field but
// Name has a meaning.
type Config struct {
	Name       string         // of the port: /dev/ttyUSB0, COM3
	Baud       int            // 0 is 9600
	Bits       int            // data bits, 7 or 8; 0 is 8
	Parity     Parity         //
	Stop       int            // stop bits, 1 or 2; 0 is 1
	Terminator string         // end of a line; empty is CR, LF or both
	Query      string         // sent to ask for a reading, with its terminator; empty for a meter that sends by itself
	Interval   time.Duration  // between queries; 0 is 1 s
	Quiet      time.Duration  // without a reading until the line is called quiet; 0 is 2.5 s, and Interval longer with a query
	Retry      time.Duration  // between attempts to get a lost line back; 0 is 0.5 s
	Dialect    *frame.Dialect // reads the lines; nil reads their words and units
	All        bool           // also lines of a kind that belongs to what the meter sends are reported, as bad ones
	Channel    string         // of the meter, that is read; empty when nobody has said

	ctx context.Context // ends an attempt to connect; nil for none

	Now func() time.Time // the clock, which must not step; nil is time.Now, whose monotonic part does not
}

// complete fills in the defaults and refuses what no port can do.
func (c Config) complete() (Config, error) {
	def(&c.Baud, defaultBaud)
	def(&c.Bits, defaultBits)
	def(&c.Stop, defaultStop)
	def(&c.Interval, defaultInterval)
	if c.Quiet == 0 && c.Query != "" {
		c.Quiet = defaultQuiet + c.Interval
	}
	def(&c.Quiet, defaultQuiet)
	def(&c.Retry, defaultRetry)
	if c.Now == nil {
		c.Now = time.Now
	}
	switch {
	case c.Name == "":
		return c, errors.New("serial: no port named")
	case !aSpeed(c.Baud):
		return c, fmt.Errorf("serial: %d baud is not a speed that meters use", c.Baud)
	case c.Bits != 7 && c.Bits != 8:
		return c, fmt.Errorf("serial: %d data bits; use 7 or 8", c.Bits)
	case c.Stop != 1 && c.Stop != 2:
		return c, fmt.Errorf("serial: %d stop bits; use 1 or 2", c.Stop)
	case c.Interval < 50*time.Millisecond || c.Quiet < 0 || c.Retry < 0:
		return c, errors.New("serial: an interval under 50 ms, or a negative time")
	}
	return c, nil
}

// aSpeed reports whether a meter may use a speed, baud.
func aSpeed(baud int) bool { return baud >= 50 && baud <= 4_000_000 }

func def[T comparable](v *T, to T) {
	var zero T
	if *v == zero {
		*v = to
	}
}

// Mode is the speed and the frame of a character in the usual notation: "9600 8N1".
func (c Config) Mode() string {
	def(&c.Baud, defaultBaud)
	def(&c.Bits, defaultBits)
	def(&c.Stop, defaultStop)
	return fmt.Sprintf("%d %d%c%d", c.Baud, c.Bits, parityLetters[min(int(c.Parity), 4)], c.Stop)
}

// SetFrame sets bits, parity and stop bits from the usual notation: "8N1", "7E1".
func (c *Config) SetFrame(s string) error {
	if len(s) != 3 {
		return fmt.Errorf("serial: %q is not a character frame such as 8N1 or 7E1", s)
	}
	p := strings.Index(parityLetters, strings.ToUpper(s[1:2]))
	bits, stop := int(s[0]-'0'), int(s[2]-'0')
	if p < 0 || bits != 7 && bits != 8 || stop != 1 && stop != 2 {
		return fmt.Errorf("serial: %q is not a character frame such as 8N1 or 7E1", s)
	}
	c.Bits, c.Parity, c.Stop = bits, Parity(p), stop
	return nil
}

// SetMode sets speed and character frame from the notation of Mode.
func (c *Config) SetMode(s string) error {
	baud, rest, ok := strings.Cut(s, " ")
	n, err := strconv.Atoi(baud)
	if err != nil {
		return fmt.Errorf("serial: %q is not a mode such as 9600 8N1", s)
	}
	if ok {
		err = c.SetFrame(rest)
	}
	if err == nil {
		c.Baud = n
	}
	return err
}

// library is the mode in the words of the port library.
func (c Config) library() *bug.Mode {
	m := &bug.Mode{BaudRate: c.Baud, DataBits: c.Bits, Parity: c.Parity, StopBits: bug.OneStopBit}
	if c.Stop == 2 {
		m.StopBits = bug.TwoStopBits
	}
	return m
}
