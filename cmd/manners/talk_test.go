package manners

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/halfdrop/meter/remedy"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

// kept is an output that two goroutines may use.
type kept struct {
	sync.Mutex
	strings.Builder
}

func (k *kept) Write(b []byte) (int, error) {
	k.Lock()
	defer k.Unlock()
	return k.Builder.Write(b)
}

// TestBusy: what takes less than a second says nothing; what takes longer says what it
// does, and leaves an empty line behind, however often it is done.
func TestBusy(t *testing.T) {
	var quick, slow kept
	busy(&quick, "reading x", time.Hour)()
	assert.Empty(t, quick.String())
	done := busy(&slow, "reading long.csv", time.Millisecond)
	for range 1000 {
		time.Sleep(time.Millisecond)
		slow.Lock()
		n := slow.Len()
		slow.Unlock()
		if n > 0 {
			break
		}
	}
	done()
	done()
	said := slow.String()
	assert.Contains(t, said, "\rreading long.csv, 1 s")
	last := said[strings.LastIndex(strings.TrimSuffix(said, "\r"), "\r")+1:]
	assert.Empty(t, strings.TrimSpace(last), "the line is empty again")
	assert.NotPanics(t, Busy(&quick, "nothing"))
}

// TestTemplateSetsNothing: the file that --create writes changes nothing, and
// without its marks it is valid.
func TestTemplateSetsNothing(t *testing.T) {
	d, err := decodeDefaults("template", configTemplate)
	require.NoError(t, err)
	require.Empty(t, d.values())
	for _, key := range DefaultKeys() {
		assert.Contains(t, string(configTemplate), "# "+key+" = ", "the template explains it")
	}
	var lines []string
	for line := range strings.SplitSeq(string(configTemplate), "\n") {
		if strings.Contains(line, " = ") {
			line = strings.TrimPrefix(line, "# ")
		}
		lines = append(lines, line)
	}
	d, err = decodeDefaults("template", []byte(strings.Join(lines, "\n")))
	require.NoError(t, err)
	require.Len(t, d.values(), len(DefaultKeys()))
}

func TestPagerWords(t *testing.T) {
	for pager, want := range map[string][]string{"": nil, "cat": nil, "less -S": {"less", "-S"}, `"my pager" -x`: {"my pager", "-x"}, "'open": nil} {
		t.Setenv("PAGER", pager)
		assert.Equal(t, want, pagerWords(os.Getenv), pager)
	}
	t.Setenv("PAGER", "x")
	os.Unsetenv("PAGER")
	t.Setenv("TERM", "dumb")
	assert.Empty(t, pagerWords(os.Getenv), "a pager would warn and wait for a key")
}

// TestCrashIsTold: a crash beside the screen becomes an error that says what
// and where, and that nothing is lost.
func TestCrashIsTold(t *testing.T) {
	var out strings.Builder
	code := Tell(&out, remedy.Guard(t.Context(), func(context.Context) error { panic("no beaker") }))
	assert.Equal(t, ExitFailed, code)
	assert.Contains(t, out.String(), "halfdrop: error: internal error: no beaker\n")
	assert.Contains(t, out.String(), "talk_test.go")
	assert.Contains(t, out.String(), "halfdrop: hint: the record holds everything that was done")
	assert.NoError(t, remedy.Guard(t.Context(), func(context.Context) error { return nil }))
}

// TestACancelledWaitIsAnInterrupt: Ctrl-C while ports were listened to was "context canceled",
// as if something had failed.
func TestACancelledWaitIsAnInterrupt(t *testing.T) {
	var said bytes.Buffer
	assert.Equal(t, ExitInterrupted, Tell(&said, fmt.Errorf("serial: %w", context.Canceled)))
	assert.Equal(t, "halfdrop: error: interrupted\n", said.String())
}
