package screen_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/screen"
)

// runKeys are the keys of a run with their words, as the help has them.
var runKeys = []screen.Key{
	{Name: "Enter", Does: "record what is typed, counted or advised"},
	{Name: "0-9 .", Does: "drops that were added; 0.5 is half a drop"},
	{Name: "m", Does: "after a number: it is in mL, as in 0.6m"},
	{Name: "Space", Does: "count a drop as it falls, also by foot pedal"},
	{Name: "Backspace", Does: "take back the last digit or counted drop"},
	{Name: "Esc", Does: "clear what is typed or counted"},
	{Name: "t", Does: "choose another titrant for what was added"},
	{Name: "u", Does: "withdraw the latest addition, if mis-keyed"},
	{Name: "e", Does: "7e: the last one was 7; te: other titrant"},
	{Name: "c", Does: "confirm a CHECK: looked at it, want to go on"},
	{Name: "r", Does: "write a remark into the record"},
	{Name: "b", Does: "bell at ADD, STOP and CHECK: on or off"},
	{Name: "?", Does: "all keys"},
	{Name: "q", Does: "end the run and close the record; asks first"},
	{Name: "Ctrl-Z", Does: "put the program to sleep; fg wakes it"},
}

// TestHelp: all keys with all their words, and the caution below them, at
// every size.
func TestHelp(t *testing.T) {
	st := samples()[2].st
	st.Help = runKeys
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		name := fmt.Sprintf("run %dx%d", size[0], size[1])
		t.Run(name, func(t *testing.T) {
			out := screen.Coach(st, size[0], size[1])
			golden(t, name, out, size[0], size[1])
			words := strings.Join(strings.Fields(out), " ")
			for _, k := range runKeys {
				assert.Contains(t, words, k.Name+" "+k.Does)
			}
			assert.Contains(t, words, screen.Caution)
		})
	}
}
