package link

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/shelf"
)

// A run that was read by a learned meter is resumed with it, unless another is named.
func TestTheMeterOfAJournal(t *testing.T) {
	f := Asked{Meter: "corner"}
	source := f.SourceName("/dev/ttyUSB0")
	for _, c := range []struct{ asked, again Asked }{
		{Asked{}, Asked{Meter: "corner"}},
		{Asked{Meter: "other"}, Asked{Meter: "other"}},
		{Asked{Dialect: "d.toml"}, Asked{Dialect: "d.toml"}},
	} {
		assert.Equal(t, "/dev/ttyUSB0", c.asked.Again(source))
		assert.Equal(t, c.again, c.asked)
	}
	assert.Equal(t, "COM3", (&Asked{}).SourceName("COM3"))
	var none Asked
	assert.Equal(t, "COM3", none.Again("COM3"))
	assert.Empty(t, none.Meter)
}

// The port of a learned meter is opened where no other is named, and flags win over
// what was learned.
func TestFlagsWinOverTheLearned(t *testing.T) {
	m := shelf.Meters{Folder: t.TempDir()}
	require.NoError(t, os.WriteFile(filepath.Join(m.Folder, "corner.toml"), []byte("port = \"/dev/ttyS7\"\nbaud = 1200\nframe = \"7E1\"\nquery = \"R\"\n"), 0o600))
	f := Asked{Meter: "corner", Learned: m}
	port, err := f.At("")
	require.NoError(t, err)
	assert.Equal(t, "/dev/ttyS7", port)
	port, err = f.At("COM3")
	require.NoError(t, err)
	assert.Equal(t, "COM3", port)
	sim := ""
	require.NoError(t, f.Choose(true, &sim))
	assert.Empty(t, sim, "the simulator needs no port")
	c, err := f.Config("/dev/ttyS7")
	require.NoError(t, err)
	assert.Equal(t, "1200 7E1", c.Mode())
	f.Mode, f.Query, f.Channel = "9600 8N1", `Q\r`, "2"
	c, err = f.Config("/dev/ttyS7")
	require.NoError(t, err)
	assert.Equal(t, []string{"9600 8N1", "Q\r", "2"}, []string{c.Mode(), c.Query, c.Channel})
	f.Dialect = "d.toml"
	_, err = f.Config("x")
	assert.ErrorContains(t, err, "--meter and --dialect exclude each other")
	_, err = (&Asked{Meter: "other", Learned: m}).At("")
	assert.ErrorContains(t, err, `no meter "other" has been learned`)
	_, err = (&Asked{Meter: "x", Learned: shelf.Meters{Err: io.ErrClosedPipe}}).At("")
	assert.ErrorIs(t, err, io.ErrClosedPipe)
}

// With readings on standard input nobody types; else keys are what they were.
func TestKeys(t *testing.T) {
	in := io.Reader(strings.NewReader("q"))
	assert.Equal(t, in, Keys("COM3", in))
	assert.Nil(t, Terminal("COM3"))
	assert.NotEqual(t, in, Keys(serial.Stdin, in))
}

func TestListAsJSON(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, writeJSON(&b, []serial.Info{{Name: "COM3", USB: true, VID: "0403"}}))
	assert.JSONEq(t, `[{"name":"COM3","usb":true,"vid":"0403"}]`, b.String())
	b.Reset()
	require.NoError(t, writeJSON(&b, nil))
	assert.JSONEq(t, `[]`, b.String(), "an empty list is a list")
}

// Listening to standard input ends with it; it went on for ever, with a word about a run.
func TestListeningEndsWithItsInput(t *testing.T) {
	in, out, err := os.Pipe()
	require.NoError(t, err)
	old := os.Stdin
	os.Stdin = in
	t.Cleanup(func() { os.Stdin = old; in.Close() })
	_, err = out.WriteString("pH 7.02 21.0 C\nwhat 7\n")
	require.NoError(t, err)
	out.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	var lines, talk bytes.Buffer
	require.NoError(t, (&Asked{}).Listen(ctx, &lines, &talk, serial.Stdin, 0))
	require.NoError(t, ctx.Err(), "it ended by itself")
	assert.Contains(t, lines.String(), "pH 7.02")
	assert.Contains(t, talk.String(), "standard input has ended\n")
	assert.NotContains(t, talk.String(), "a run can be ended")
	assert.NotContains(t, talk.String(), "- is open")
}
