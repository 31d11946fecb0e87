package manners

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestFolding: on a terminal no word of a message is broken and none is lost; a
// question that is not ended waits for nothing.
func TestFolding(t *testing.T) {
	var b strings.Builder
	f := &folding{&b, 40}
	message := "halfdrop: hint: give one with --plan FILE; only the simulator has a built-in one, see halfdrop titrate --help\n"
	fmt.Fprint(f, message)
	for line := range strings.Lines(b.String()) {
		assert.LessOrEqual(t, len(line), 41, line)
	}
	assert.Equal(t, strings.Fields(message), strings.Fields(b.String()))
	assert.True(t, strings.HasPrefix(strings.Split(b.String(), "\n")[1], "  "))
	b.Reset()
	fmt.Fprint(f, "short\n  set in, and it goes on set in as far, so that no word is broken\nand now? ")
	assert.Equal(t, "short\n  set in, and it goes on set in as far,\n  so that no word is broken\nand now? ", b.String())
}
