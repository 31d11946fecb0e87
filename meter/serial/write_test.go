package serial_test

import (
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/serial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is written reads back as the same, whatever stands in it.
func TestDialectWrittenAndRead(t *testing.T) {
	for name, spec := range map[string]frame.Spec{
		"columns": {Name: "corner", Separator: "\t", Columns: []frame.Role{frame.RoleTime, frame.RolePH, frame.RoleC, frame.RoleIgnore}, Comma: true, Channel: "2"},
		"pattern": {Name: `the "odd" \ one`, Pattern: `R(?P<ph>\d+,\d+)/(?P<temp>\d+)`, TempUnit: "F", Skip: []string{`^"x\s`, "^#"}},
		"records": {Name: "printer", JoinFrom: "^No", JoinLines: 4, Drop: []string{"FF", "XON"}, Checksum: "sum", SumAfter: "*",
			Words: map[string]string{"lämpötila": "temperature", "vakaa": "stable"}, Months: strings.Fields("a b c d e f g h i j k l")},
		"to": {Name: "x", JoinFrom: "^a", JoinTo: "^b"},
	} {
		t.Run(name, func(t *testing.T) {
			d, err := frame.NewDialect(spec)
			require.NoError(t, err)
			c := serial.Config{Name: "/dev/ttyUSB3", Baud: 2400, Bits: 7, Parity: serial.Even, Stop: 1, Terminator: ";", Query: "R\r", Interval: 1500 * time.Millisecond,
				Dialect: d, Channel: spec.Channel}
			written := serial.WriteDialect(c)
			var back serial.Config
			require.NoError(t, serial.ParseDialect("d.toml", []byte(written), &back), written)
			assert.Equal(t, spec, back.Dialect.Spec(), written)
			back.Dialect = d
			assert.Equal(t, c, back)
			for _, line := range strings.Split(strings.TrimSpace(written), "\n") {
				assert.True(t, strings.Contains(line, "# ") || line == "" || strings.Contains(written[:strings.Index(written, line)], "[words]"), "%q has no comment", line)
			}
		})
	}
}

// Every key is explained in a file, and its example can be taken as it is.
func TestDialectExamples(t *testing.T) {
	d, err := frame.NewDialect(frame.Spec{Name: "corner"})
	require.NoError(t, err)
	written := serial.WriteDialect(serial.Config{Name: "p", Dialect: d})
	for _, key := range serial.DialectKeys {
		assert.Regexp(t, `(?m)^(# )?`+key+` = .*  # .`, written+"join_lines = 4  # x\n", key)
	}
	for _, line := range strings.Split(written, "\n") {
		text, ok := strings.CutPrefix(line, "# ")
		if !ok || !strings.Contains(text, " = ") {
			continue
		}
		switch key, _, _ := strings.Cut(text, " "); key {
		case "join_to":
			text += "\njoin_from = 'a'"
		case "join_from":
			text += "\njoin_lines = 4"
		case "checksum_after":
			text += "\nchecksum = 'sum'"
		case "separator":
			text += "\ncolumns = ['pH']"
		case "columns":
			text += "\nseparator = ','"
		case "decimal", "temp_unit":
			text += "\npattern = '(?P<ph>.)'"
		}
		var c serial.Config
		assert.NoError(t, serial.ParseDialect("example.toml", []byte(text), &c), text)
	}
}

// Everything that a dialect can say wrongly is refused with its place.
func TestDialectStrict(t *testing.T) {
	for text, says := range map[string]string{
		"columns = [\"pH\"]":                                           `d.toml:1:1: columns: the separator is missing`,
		"separator = \",\"\ncolumns = [\"ph\"]":                        `d.toml:2:1: columns: "ph" is not one of pH, mV`,
		"separator = \",\"\ncolumns = [\"°C\"]":                        `d.toml:2:1: columns: one of them must be pH or mV`,
		"separator = \",\"\ncolumns = [\"pH\", \"pH\"]":                `two columns are called pH`,
		"separator = \",\"\ncolumns = [\"pH\", \"°C\", \"°F\"]":        `two columns are called °C`,
		"separator = \"ab\"\ncolumns = [\"pH\"]":                       `d.toml:1:1: separator: "ab" is not`,
		"separator = \",\"":                                            `separator: has a meaning only with columns`,
		"separator = \",\"\ndecimal = \"comma\"\ncolumns = [\"pH\"]":   `d.toml:2:1: decimal: a comma as decimal mark and as separator`,
		"drop = [\"XOM\"]":                                             `d.toml:1:1: drop: "XOM" is not a control byte`,
		"skip = [\"(\"]":                                               `d.toml:1:1: skip: `,
		"checksum = \"crc\"":                                           `d.toml:1:1: checksum: "crc" is neither`,
		"checksum_after = \"*\"":                                       `checksum_after: has a meaning only with checksum`,
		"join_to = \"x\"":                                              `join_to: has a meaning only with join_from`,
		"join_from = \"x\"":                                            `join_from: join_to or join_lines must say`,
		"join_lines = 1":                                               `join_lines: 1 lines; 2 to 40`,
		"join_lines = 3\njoin_from = \"a\"\njoin_to = \"b\"":           `either join_to or join_lines`,
		"months = [\"a\"]":                                             `months: 1 names; it needs`,
		"[words]\n\"x\" = \"frobnicate\"":                              `words: "frobnicate" is not a word`,
		"temp_unit = \"C\"":                                            `temp_unit: has a meaning only with a pattern`,
		"temp_unit = \"R\"\npattern = '(?P<ph>.)'":                     `d.toml:1:1: temp_unit: "R" is not C, F or K`,
		"pattern = '(?P<ph>.)'\nseparator = \",\"\ncolumns = [\"pH\"]": `either columns or a pattern`,
		"pattern = '" + strings.Repeat("a", 600) + "'":                 `a pattern of 606 bytes`,
		"name = \"" + strings.Repeat("n", 100) + "\"":                  `d.toml:1:1: name: `,
		"name = \"a\\u001b[2J\"":                                       `be a name of at most`,
		"port = \"\"":                                                  `port: `,
		"query = \"" + strings.Repeat("q", 200) + "\"":                 `query: 200 bytes`,
		"terminator = \"123456789\"":                                   `terminator: 9 bytes`,
		"channel = \"a channel with a long name\"":                     `channel: `,
		"separator = \",\"\ncolumns = [\"pH\"]\nchanel = \"1\"":        `d.toml:3:1: unknown key "chanel"; did you mean "channel"?`,
	} {
		var c serial.Config
		err := serial.ParseDialect("d.toml", []byte(text), &c)
		assert.ErrorContains(t, err, says, text)
		assert.Equal(t, serial.Config{}, c)
	}
}

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
