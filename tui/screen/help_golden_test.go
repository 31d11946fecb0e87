package screen_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/screentest"
)

// runKeys are the keys of a run with their words, as the help has them.
var runKeys = []keyrow.Key{
	{Name: "Enter", Does: "record the order, or the amount typed"},
	{Name: "0-9 .", Does: "drops that were added; 0.5 is half a drop"},
	{Name: "m", Does: "after a number: it is in mL, as in 0.6m"},
	{Name: "Space", Does: "a drop falls: count it, also by foot pedal"},
	{Name: "Backspace", Does: "delete the last digit or counted drop"},
	{Name: "Esc", Does: "clear what is typed or counted"},
	{Name: "t", Does: "choose another titrant for what was added"},
	{Name: "n", Does: "nothing of the order was given"},
	{Name: "u", Does: "withdraw the latest addition, if mis-keyed"},
	{Name: "e", Does: "7e corrects the last to 7; te its titrant"},
	{Name: "c", Does: "CHECK: looked, it is as planned; carry on"},
	{Name: "i", Does: "the electrode is in the beaker now"},
	{Name: "+", Does: "another bottle available: + NaOH 0.1 M Enter"},
	{Name: "r", Does: "write a remark into the record"},
	{Name: "b", Does: "bell at ADD, DONE and CHECK: on or off"},
	{Name: "?", Does: "all keys"},
	{Name: "q", Does: "end the run and close the record; asks first"},
	{Name: "Ctrl-Z", Does: "suspend; fg brings it back"},
}

// TestHelp: all keys with all their words, and the caution below them, at
// every size.
func TestHelp(t *testing.T) {
	st := samples()[2].st
	st.Help = runKeys
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		name := fmt.Sprintf("run %dx%d", size[0], size[1])
		t.Run(name, func(t *testing.T) {
			words := ""
			for st.Page = range keyrow.Pages(st.Help, size[0], size[1]) {
				out := screen.Coach(st, size[0], size[1])
				page := name
				if st.Page > 0 {
					page += fmt.Sprint(" page ", st.Page+1)
				}
				screentest.Golden(t, page, out, size[0], size[1])
				text := strings.Join(strings.Fields(out), " ")
				assert.Contains(t, text, keyrow.Caution)
				words += text
			}
			for _, k := range runKeys {
				assert.Contains(t, words, k.Name+" "+k.Does)
			}
		})
	}
}
