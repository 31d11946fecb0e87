package tui

import (
	"strings"
	"unicode"

	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/terminal"
)

// voice hands each new sentence to somebody who says it.
type voice struct {
	say  func(sentence string) // must not block; nil for nobody
	last string                // what was said last, but for the numbers of a WAIT
	loud string                // the alarm that was said last
}

// hear says what is new in a view. A WAIT that only counts on is not new.
func (o *voice) hear(v view.View) {
	if o.say == nil {
		return
	}
	if v.Alarm != o.loud {
		if o.loud = v.Alarm; v.Alarm != "" {
			o.say(terminal.Clean("ALARM: " + v.Alarm))
		}
	}
	text := terminal.Clean(v.Sentence())
	same := text
	if strings.HasPrefix(text, "WAIT") {
		same = strings.Map(func(r rune) rune {
			if unicode.IsDigit(r) || r == '.' {
				return -1
			}
			return r
		}, text)
	}
	if same != o.last {
		o.last = same
		o.say(text)
	}
}
