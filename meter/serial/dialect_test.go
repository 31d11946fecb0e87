package serial_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/serial"
)

func TestDialectFile(t *testing.T) {
	c := serial.Config{Name: "p", Baud: 9600}
	err := serial.ParseDialect("d.toml", []byte("\xef\xbb\xbf"+`
name = "the old one"
baud = 2400
frame = "7e1"
terminator = "\r"
query = "?\r"
interval_s = 2.5
pattern = 'R(?P<ph>\d+,\d+)/(?P<temp>\d+,\d)'
decimal = "comma"
`), &c)
	require.NoError(t, err)
	assert.Equal(t, "2400 7E1", c.Mode())
	assert.Equal(t, "p", c.Name)
	assert.Equal(t, "\r", c.Terminator)
	assert.Equal(t, "?\r", c.Query)
	assert.Equal(t, 2500*time.Millisecond, c.Interval)
	r, err := c.Dialect.Reader().Read([]byte("R7,02/25,1"))
	require.NoError(t, err)
	assert.Equal(t, 7.02, r.Reading.Value)
	assert.Equal(t, 25.1, r.Reading.TempC)
	assert.Equal(t, "the old one", r.Form.Shape)
}

func TestDialectFileLeavesTheRest(t *testing.T) {
	c := serial.Config{Name: "p", Baud: 9600, Query: "x"}
	require.NoError(t, serial.ParseDialect("d.toml", []byte(`baud = 1200`), &c))
	assert.Equal(t, serial.Config{Name: "p", Baud: 1200, Query: "x"}, c)
}

func TestDialectFileRefused(t *testing.T) {
	for text, says := range map[string]string{
		"\nbuad = 9600":                       `d.toml:2:1: unknown key "buad"; did you mean "baud"?`,
		"baud = 9600\nintervall_s = 1":        `d.toml:2:1: unknown key "intervall_s"; did you mean "interval_s"?`,
		"baud = \"fast\"":                     "d.toml:1:8: ",
		"baud = ":                             "d.toml:1:7: ",
		"\n  baud = 5":                        "d.toml:2:3: baud: 5 is not a speed that meters",
		"frame = \"8X1\"":                     `d.toml:1:1: frame: `,
		"terminator = \"\"":                   "d.toml:1:1: terminator: is empty",
		"interval_s = nan":                    "d.toml:1:1: interval_s: NaN s",
		"interval_s = 0":                      "d.toml:1:1: interval_s: 0 s",
		"baud = 1200\npattern = '(?P<ph>'":    "d.toml:2:1: pattern: ",
		"pattern = '(?P<zz>x)(?P<ph>\\d)'":    `group "zz"`,
		"pattern = '(?P<temp>\\d+)'":          "a group (?P<ph>…) or (?P<mv>…) is needed",
		"decimal = \"comma\"":                 "d.toml:1:1: decimal: has a meaning only with columns or a pattern",
		"decimal = \"dot\"\npattern = '(.*)'": `d.toml:1:1: decimal: "dot" is neither`,
	} {
		c := serial.Config{Name: "p"}
		err := serial.ParseDialect("d.toml", []byte(text), &c)
		assert.ErrorContains(t, err, says, text)
		var f *serial.FileError
		assert.ErrorAs(t, err, &f)
		assert.Equal(t, serial.Config{Name: "p"}, c, "a refused file changes nothing")
	}
}
