package tui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/screen/menu"
)

// NewRinging is New with a bell of its own.
func NewRinging(r Runner, o Options, ring func()) tea.Model { return newModel(r, o, ring) }

// Seen is the message that carries a view.
func Seen(v run.View) tea.Msg { return seen(v) }

// AskAgain has the terminal asked for its background, as at the start of the process.
func AskAgain() {
	ground.mu.Lock()
	defer ground.mu.Unlock()
	ground.until, ground.done, ground.held = time.Time{}, false, nil
}

// NewCalibrating is the program model of a calibration.
func NewCalibrating(press func(string)) tea.Model {
	m := calibrating{press: press}
	m.state.Set = Options{}.set(func(string) string { return "" })
	return m
}

// NewMenu is the program model of a menu.
func NewMenu(m *menu.Menu) tea.Model {
	s := newMenu(m, nil, nil)
	s.set = Options{}.set(func(string) string { return "" })
	return s
}

// NewReplay is the program model for looking back.
func NewReplay(tape Tape, o Options) tea.Model { return newReplay(tape, o) }

// NewReplayLog is the program model for the log of another program.
func NewReplayLog(read LogReader, o Options) (tea.Model, error) { return newLogReplay(read, o) }
