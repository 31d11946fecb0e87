package tui

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/terminal"
)

// NewRinging is New with a bell of its own.
func NewRinging(r Runner, o terminal.Options, ring func()) tea.Model { return newModel(r, o, ring) }

// Seen is the message that carries a view.
func Seen(v view.View) tea.Msg { return seen(v) }
