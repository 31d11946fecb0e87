package terminal

import (
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/tui/widget"
)

func TestSet(t *testing.T) {
	for _, c := range []struct {
		env  map[string]string
		opts Options
		want *widget.Set
	}{
		{nil, Options{}, &widget.Unicode},
		{map[string]string{"LANG": "en_GB.UTF-8", "TERM": "xterm"}, Options{}, &widget.Unicode},
		{map[string]string{"LANG": "de_DE.utf8"}, Options{}, &widget.Unicode},
		{map[string]string{"LANG": "en_GB.UTF-8", "TERM": "linux"}, Options{}, &widget.Console},
		{map[string]string{"LANG": "en_GB.UTF-8"}, Options{ASCII: true}, &widget.ASCII},
		{map[string]string{"LANG": "C"}, Options{}, &widget.ASCII},
		{map[string]string{"LANG": "en_GB.UTF-8", "LC_ALL": "POSIX"}, Options{}, &widget.ASCII},
		{map[string]string{"LANG": "C", "LC_CTYPE": "C.UTF-8"}, Options{}, &widget.Unicode},
	} {
		assert.Same(t, c.want, c.opts.Set(func(k string) string { return c.env[k] }), "%v %v", c.env, c.opts)
	}
}

// TestWideCharacters: where block characters take two cells, as the width
// tables for East Asian terminals have it, ASCII takes their place.
func TestWideCharacters(t *testing.T) {
	if os.Getenv("RUNEWIDTH_EASTASIAN") == "1" {
		assert.Same(t, &widget.ASCII, Options{}.Set(func(string) string { return "" }))
		return
	}
	c := exec.Command(os.Args[0], "-test.run=TestWideCharacters$", "-test.v")
	c.Env = append(os.Environ(), "RUNEWIDTH_EASTASIAN=1")
	out, err := c.CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Contains(t, string(out), "PASS: TestWideCharacters")
}
