package led_test

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/tui/led"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/terminal"
)

// Keys come through one by one, also when several arrive at once; the screen
// ends with the states. A key that takes the help away does nothing else.
func TestLearnKeys(t *testing.T) {
	var pressed []string
	leader := func(_ context.Context, came <-chan string, show func(screen.Learn)) error {
		show(screen.Learn{Title: "Learn the meter “corner”"})
		for len(pressed) == 0 || pressed[len(pressed)-1] != led.LearnQuit {
			pressed = append(pressed, <-came)
		}
		return nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	var out bytes.Buffer
	err := led.Learn(ctx, leader, terminal.Options{In: strings.NewReader("xpcfkmn?qtsi\rq"), Out: &out})
	require.NoError(t, err)
	require.NoError(t, ctx.Err(), "it ended by itself")
	assert.Equal(t, []string{"p", "c", "f", "k", "m", "n", "t", "s", "i", led.LearnKeep, led.LearnQuit}, pressed)
	assert.Contains(t, out.String(), "\x1b[?1049l", "the terminal is given back")
}

func TestLearnKeysHaveWords(t *testing.T) {
	for _, k := range led.LearnKeys {
		assert.NotEmpty(t, k.Name)
		assert.NotEmpty(t, k.Short)
		assert.NotEmpty(t, k.Does)
	}
}
