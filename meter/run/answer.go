package run

import (
	"errors"

	"example.org/halfdrop/meter/phrase"
)

// Answer is what came of one thing that a person wanted.
type Answer struct {
	To     Intent // what was asked; of no kind that was posted when ID is 0 and the run speaks by itself
	Text   string
	Failed bool  // it was refused, and the text says why
	Asks   bool  // it is done once it comes again with Sure set
	Slip   *Slip // what is asked about a typed value
}

// answer keeps what came of an intent until the next view takes it along.
func (s *Session) answer(in Intent, text string, err error) {
	var d *Doubt
	var slip *Slip
	switch {
	case errors.As(err, &slip):
		s.said = append(s.said, Answer{To: in, Text: slip.Error(), Failed: true, Asks: !slip.Never || slip.Meant != "", Slip: slip})
	case errors.As(err, &d):
		s.said = append(s.said, Answer{To: in, Text: d.Error(), Failed: true, Asks: true})
	case err != nil:
		s.said = append(s.said, Answer{To: in, Text: phrase.Plain(err).Error(), Failed: true})
	case text != "":
		s.said = append(s.said, Answer{To: in, Text: text})
	}
}

// warn says something of the run itself.
func (s *Session) warn(text string, err error) {
	if err != nil {
		text = phrase.Plain(err).Error()
	}
	s.said = append(s.said, Answer{Text: text, Failed: true})
}
