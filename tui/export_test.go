package tui

import tea "github.com/charmbracelet/bubbletea"

// NewRinging is New with a bell of its own.
func NewRinging(r Runner, o Options, ring func()) tea.Model { return newModel(r, o, ring) }
