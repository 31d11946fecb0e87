package tui

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/terminal"
)

// NewRinging is New with a bell of its own.
func NewRinging(r Runner, o terminal.Options, ring func()) tea.Model { return newModel(r, o, ring) }

// Seen is the message that carries a view.
func Seen(v run.View) tea.Msg { return seen(v) }

// NewCalibrating is the program model of a calibration.
func NewCalibrating(press func(string)) tea.Model {
	m := calibrating{press: press}
	m.state.Set = terminal.Options{}.Set(func(string) string { return "" })
	return m
}

// NewMenu is the program model of a menu.
func NewMenu(m *menu.Menu) tea.Model {
	s := newMenu(m, nil, nil)
	s.set = terminal.Options{}.Set(func(string) string { return "" })
	return s
}
