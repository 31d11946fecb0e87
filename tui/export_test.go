package tui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// NewRinging is New with a bell of its own.
func NewRinging(r Runner, o Options, ring func()) tea.Model { return newModel(r, o, ring) }

// AskAgain has the terminal asked for its background, as at the start of the process.
func AskAgain() {
	ground.mu.Lock()
	defer ground.mu.Unlock()
	ground.until, ground.done, ground.held = time.Time{}, false, nil
}
