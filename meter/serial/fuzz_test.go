package serial_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/serial"
)

// FuzzDialect: a dialect file is taken or refused with its place, and what is
// taken is written so that it reads back as the same.
func FuzzDialect(f *testing.F) {
	for _, s := range []string{
		"baud = 2400\nframe = \"7E1\"", "separator = \",\"\ncolumns = [\"pH\", \"°C\"]", "pattern = '(?P<ph>\\d+)'\ndecimal = \"comma\"", "drop = [\"XON\"]\nskip = ['^#']",
		"join_from = \"a\"\njoin_lines = 3", "checksum = \"xor\"\nchecksum_after = \"*\"", "[words]\nx = \"ph\"", "terminator = \"\\u0003\"", "name = \"\\u001b\"", "interval_s = nan", "skip = ['']",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var c serial.Config
		if err := serial.ParseDialect("d.toml", data, &c); err != nil {
			var at *serial.FileError
			require.ErrorAs(t, err, &at)
			require.Equal(t, serial.Config{}, c)
			return
		}
		var back serial.Config
		text := serial.WriteDialect(c)
		require.NoError(t, serial.ParseDialect("again.toml", []byte(text), &back), text)
		if c.Dialect != nil {
			require.NotNil(t, back.Dialect, text)
			require.Equal(t, serial.WriteDialect(c), serial.WriteDialect(back))
			_, _ = c.Dialect.Reader().Read([]byte("pH 7.02 25.1 C"))
		}
		require.Equal(t, c.Query, back.Query)
		require.Equal(t, c.Terminator, back.Terminator)
	})
}
