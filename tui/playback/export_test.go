package playback

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/terminal"
)

// NewReplay is the program model for looking back.
func NewReplay(tape Tape, o terminal.Options) tea.Model { return newReplay(tape, o) }

// NewReplayLog is the program model for the log of another program.
func NewReplayLog(read LogReader, o terminal.Options) (tea.Model, error) {
	return newLogReplay(read, o)
}
