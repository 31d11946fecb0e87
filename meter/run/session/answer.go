package session

import (
	"errors"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/intent"
)

// answer keeps what came of an intent until the next view takes it along.
func (s *Session) answer(in intent.Intent, text string, err error) {
	var d *given.Doubt
	var slip *intent.Slip
	switch {
	case errors.As(err, &slip):
		s.said = append(s.said, intent.Answer{To: in, Text: slip.Error(), Failed: true, Asks: !slip.Never || slip.Meant != "", Slip: slip})
	case errors.As(err, &d):
		s.said = append(s.said, intent.Answer{To: in, Text: d.Error(), Failed: true, Asks: true})
	case err != nil:
		s.said = append(s.said, intent.Answer{To: in, Text: phrase.Plain(err).Error(), Failed: true})
	case text != "":
		s.said = append(s.said, intent.Answer{To: in, Text: text})
	}
}

// warn says something of the run itself.
func (s *Session) warn(text string, err error) {
	if err != nil {
		text = phrase.Plain(err).Error()
	}
	s.said = append(s.said, intent.Answer{Text: text, Failed: true})
}
