package led

import (
	"context"
	"os"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/terminal"
	"example.org/halfdrop/tui/widget"
)

// Presses of the screen on which a meter is learned. Those of one letter say
// what the column at the cursor is.
const (
	LearnLeft  = "left"
	LearnRight = "right"
	LearnKeep  = "keep"
	LearnQuit  = "q"    // asks first, where something was said
	LearnStop  = "stop" // leaves at once
)

// LearnKeys are its keys, in order of weight.
var LearnKeys = []keyrow.Key{
	{Name: "← →", Short: "column", Does: "go to another column"},
	{Name: "p", Short: "pH", Does: "the column is the pH"},
	{Name: "c", Short: "°C", Does: "the column is the temperature in °C"},
	{Name: "m", Short: "mV", Does: "the column is the potential of the electrode"},
	{Name: "Enter", Short: "keep", Does: "save it, for --meter"},
	{Name: "i", Short: "out", Does: "the column is ignored"},
	{Name: "f", Short: "°F", Does: "the column is the temperature in °F"},
	{Name: "q", Short: "leave", Does: "leave, nothing is kept; asks first where something was said"},
	{Name: "?", Short: "keys", Does: "all keys"},
	{Name: "k", Short: "K", Does: "the column is the temperature in K"},
	{Name: "n", Short: "channel", Does: "the column is the number or the name of a channel"},
	{Name: "t", Short: "time", Does: "the column is a time or a count; it is left out"},
	{Name: "s", Short: "status", Does: "the column says whether the reading is stable"},
}

var learnPresses = map[string]string{
	"left": LearnLeft, "right": LearnRight, "tab": LearnRight, "shift+tab": LearnLeft, "enter": LearnKeep, "q": LearnQuit, "esc": LearnQuit, "ctrl+c": LearnStop,
	"p": "p", "c": "c", "f": "f", "m": "m", "i": "i", "k": "k", "n": "n", "t": "t", "s": "s",
}

// Learn shows what a meter sends, and lets a person say what it is.
func Learn(ctx context.Context, leader Leader[screen.Learn], o terminal.Options) error {
	return lead(ctx, leader, func(states <-chan screen.Learn, press func(string)) tea.Model {
		return learning(states, press, o.Set(os.Getenv))
	}, LearnStop, o)
}

func learning(states <-chan screen.Learn, press func(string), set *widget.Set) led[screen.Learn] {
	return led[screen.Learn]{
		states: states, draw: screen.DrawLearn, state: screen.Learn{Set: set},
		take: func(was, came screen.Learn) screen.Learn {
			came.Set, came.Keys, came.Help = was.Set, LearnKeys, was.Help
			return came
		},
		key: func(st screen.Learn, key string) screen.Learn {
			want, ok := learnPresses[key]
			switch {
			case len(st.Help) > 0 && key != "ctrl+c": // a key that takes the help away does nothing else
				st.Help = nil
			case key == "?":
				st.Help = LearnKeys
			case ok:
				press(want)
			}
			return st
		},
	}
}
