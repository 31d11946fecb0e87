package serial

import (
	"context"
	"time"

	"example.org/halfdrop/meter/frame"
)

// Heard is what Tap hears: a whole line, or, when none ends, the bytes so far.
type Heard struct {
	At   time.Time
	Line []byte // without its terminator; nil when bytes come and no line ends
	Raw  []byte // the latest bytes, as they came; at most a few hundred
}

// tapKeeps is how many bytes of the stream are kept for a look at the terminator.
const tapKeeps = 600

// Tap opens a port and hands over its lines as they come, unjudged, until ctx
// ends or the port breaks. hear must not keep the slices. The error is an
// *OpenError, that of the port, or nil at the end of ctx.
func Tap(ctx context.Context, c Config, hear func(Heard)) error {
	return tap(ctx, c, hear, openPort)
}

func tap(ctx context.Context, c Config, hear func(Heard), open func(Config) (port, error)) error {
	c, err := c.complete()
	if err != nil {
		return err
	}
	c.ctx = ctx
	p, err := open(c)
	if err != nil {
		return err
	}
	defer p.Close()
	defer context.AfterFunc(ctx, func() { _ = p.Close() })()
	_ = p.flushInput()
	held, buf := newLines(c.Terminator, c.Now()), make([]byte, 1024)
	held.skipping = c.Name != Stdin
	var raw []byte
	var asked time.Time
	for ctx.Err() == nil {
		if now := c.Now(); c.Query != "" && now.Sub(asked) >= c.Interval {
			asked = now
			if _, err := p.Write([]byte(c.Query)); err != nil {
				return err
			}
		}
		n, err := p.Read(buf)
		now := c.Now()
		raw = tailOf(append(raw, buf[:n]...), tapKeeps)
		lines, _, _ := held.feed(now, buf[:n])
		whole := 0
		for _, line := range lines {
			if len(line) >= frame.MaxLine {
				continue // no line at all: its terminator is another one
			}
			whole++
			if bare, _ := unechoed(line, c.Query); !frame.Blank(bare) {
				hear(Heard{At: now, Line: bare, Raw: raw})
			}
		}
		if n > 0 && whole == 0 {
			hear(Heard{At: now, Raw: raw})
		}
		if err != nil && ctx.Err() == nil {
			return err
		}
	}
	return nil
}
