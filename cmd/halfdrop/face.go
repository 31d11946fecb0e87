package main

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/tui/terminal"
)

// face is how the screens of this process look and sound. It is set once, by
// the flags, before any of them is drawn.
var face terminal.Options

// speech is the command line of the program that says the sentences, and what runs it.
var speech struct {
	command string
	speaker *manners.Speaker
}

// addFaceFlags gives every command the flags of the screens.
func addFaceFlags(root *cobra.Command) {
	face = terminal.Options{}
	f := root.PersistentFlags()
	f.BoolVar(&face.ASCII, "ascii", false, "plain characters on the screen, no block or braille characters")
	f.StringVar(&face.Background, "background", "auto", "`which` background the terminal has: dark, light, or auto to ask it")
	f.BoolVar(&face.Bell, "bell", false, "ring when there is something to add, at the end and at a check")
	f.StringVar(&speech.command, "speak", "", "`program` to run with each new sentence as its last argument, such as a speech program")
}

// checkFace says what is wrong with the flags of the screens.
func checkFace() error {
	if b := face.Background; b != "" && !slices.Contains(terminal.Grounds, b) {
		return usageError(fmt.Errorf("--background %q is not known", b), "auto asks the terminal; dark and light say what it is")
	}
	if speech.command == "" || speech.speaker != nil {
		return nil
	}
	s, err := manners.NewSpeaker(speech.command)
	if err != nil {
		return err
	}
	speech.speaker, face.Speak = s, s.Say
	return nil
}

// hush ends the speech, once the last sentence has been said; at once where a signal
// ended the program.
func hush(err error) {
	s := speech.speaker
	if s == nil {
		return
	}
	speech.speaker = nil
	if signalled := new(remedy.Signalled); errors.As(err, &signalled) {
		s.Cut()
		return
	}
	s.Close()
}
