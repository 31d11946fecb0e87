package journal_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

func check(t testing.TB, data []byte) journal.Report {
	t.Helper()
	r, err := journal.Check(bytes.NewReader(data))
	require.NoError(t, err)
	return r
}

func TestCheckOfASoundJournal(t *testing.T) {
	data := write(t, oneOfEach())
	r := check(t, data)
	assert.True(t, r.Sound())
	assert.Empty(t, r.Notes)
	assert.EqualValues(t, 14, r.Events)
	assert.EqualValues(t, 2, r.Additions)
	assert.EqualValues(t, 1, r.Withdrawn)
	assert.Equal(t, 2501.0, r.Seconds)
	assert.True(t, r.Ended)
	assert.Equal(t, "bench 4", r.Start.Operator)
	assert.Equal(t, "d757c749faebc60cf0f9ef05ce308ee5", r.Sum, "as in the golden file")
}

var anyDate = regexp.MustCompile(`"at":"[^"]*"`)

// Each fault alone, on line 5 of a journal unless the name says otherwise; the
// place is computed here from the bytes.
func TestCheckNamesEachFault(t *testing.T) {
	line := func(data []byte, n int) []byte { return bytes.SplitAfter(data, []byte("\n"))[n-1] }
	swap := func(n int, with func(l []byte) []byte) func([]byte) []byte {
		return func(data []byte) []byte {
			l := bytes.SplitAfter(data, []byte("\n"))
			l[n-1] = with(bytes.Clone(l[n-1]))
			return bytes.Join(l, nil)
		}
	}
	for name, tc := range map[string]struct {
		damage func([]byte) []byte
		line   int64
		text   string
		more   int // further faults that follow from it
	}{
		"changed":          {swap(5, func(l []byte) []byte { return bytes.Replace(l, []byte(`"drops":6`), []byte(`"drops":7`), 1) }), 5, "sum does not match", 0},
		"sum changed":      {swap(5, func(l []byte) []byte { l[len(l)-4] ^= 1; return l }), 5, "sum does not match", 1},
		"removed":          {swap(5, func([]byte) []byte { return nil }), 5, "event 5 is missing", 0},
		"doubled":          {swap(5, func(l []byte) []byte { return append(l, l...) }), 6, "sum does not match", 1},
		"junk":             {swap(5, func(l []byte) []byte { return append(l, "hello\n"...) }), 6, `does not end in its "sum" ("hello")`, 0},
		"blank":            {swap(5, func(l []byte) []byte { return append(l, '\n') }), 6, "blank", 0},
		"zeros":            {swap(5, func(l []byte) []byte { return append(make([]byte, len(l)-1), '\n') }), 5, "zero bytes", 0},
		"carriage":         {swap(5, func(l []byte) []byte { return append(l[:len(l)-1], "\r\n"...) }), 5, "changed the line ends: 1 of 14 lines end in CR LF", 0},
		"not JSON":         {swap(5, func(l []byte) []byte { l[1] = '\''; return l }), 5, "not an event: it is broken at its byte", 0},
		"a date in words":  {swap(5, func(l []byte) []byte { return anyDate.ReplaceAll(l, []byte(`"at":"yesterday"`)) }), 5, `not an event: "yesterday" is not a date and time of day, such as 2026-11-26T20:05:38Z (`, 0},
		"a month too many": {swap(5, func(l []byte) []byte { return anyDate.ReplaceAll(l, []byte(`"at":"2031-13-04T06:00:00Z"`)) }), 5, `not an event: "2031-13-04T06:00:00Z" is not a date`, 0},
		"a date as number": {swap(5, func(l []byte) []byte { return anyDate.ReplaceAll(l, []byte(`"at":20310504`)) }), 5, `not an event: "at" is not a text, where a date`, 0},
		"drops in words":   {swap(5, func(l []byte) []byte { return bytes.Replace(l, []byte(`"drops":6`), []byte(`"drops":"six"`), 1) }), 5, `not an event: "added.drops" is a text, where a number belongs`, 0},
		"half a number":    {swap(5, func(l []byte) []byte { return bytes.Replace(l, []byte(`"seq":5`), []byte(`"seq":5.5`), 1) }), 5, `not an event: "seq" is 5.5, where a whole number belongs`, 0},
		"torn tail":        {func(d []byte) []byte { return d[:len(d)-7] }, 14, "cut short", 0},
		"no start":         {swap(1, func([]byte) []byte { return nil }), 1, "its beginning is missing, the file begins with event 2", 0},
		"two journals":     {func(d []byte) []byte { return append(d, d[:len(line(d, 1))]...) }, 15, "the file holds it twice", 0},
		"empty":            {func([]byte) []byte { return nil }, 1, "empty", 0},
		"version":          {swap(1, func(l []byte) []byte { return bytes.Replace(l, []byte(`"format":1`), []byte(`"format":2`), 1) }), 1, "unknown version of the journal format 2", 1},
		"long":             {func(d []byte) []byte { return append(d, bytes.Repeat([]byte("x"), 3*journal.MaxLine)...) }, 15, "longer than", 0},
	} {
		t.Run(name, func(t *testing.T) {
			data := tc.damage(write(t, oneOfEach()))
			path := onFile(t, data)
			r, err := journal.CheckFile(path)
			require.NoError(t, err)
			require.Len(t, r.Faults, 1+tc.more, "%v", r.Faults)
			f := r.Faults[0]
			assert.Equal(t, tc.line, f.Line)
			offset := 0
			for i := range int(tc.line) - 1 {
				offset += len(line(data, i+1))
			}
			assert.EqualValues(t, offset, f.Offset)
			assert.Contains(t, f.Text, tc.text)
			after, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, string(data), string(after), "checking changes nothing")
		})
	}
}

func TestCheckFindsAllOfSeveralFaults(t *testing.T) {
	lines := bytes.SplitAfter(write(t, oneOfEach()), []byte("\n"))
	for _, n := range []int{3, 7, 11} {
		lines[n-1][30] ^= 1
	}
	r := check(t, append(bytes.Join(lines, nil), "torn"...))
	var at []int64
	for _, f := range r.Faults {
		at = append(at, f.Line)
	}
	assert.Equal(t, []int64{3, 7, 11, 15}, at)
	assert.False(t, r.Ended)
}

// sealed forms a journal out of any lines without sums, with the sums right:
// what another program, or a faulty one of ours, could write.
func sealed(bodies ...string) []byte {
	var out strings.Builder
	prev := ""
	for _, b := range bodies {
		sum := sumOf(prev, b)
		out.WriteString(b + `,"sum":"` + sum + `"}` + "\n")
		prev = sum
	}
	return []byte(out.String())
}

const startLine = `{"seq":1,"at":"2026-11-25T14:15:03+01:00","t":0,"kind":"start","start":{"format":1,"program":"x","plan":{}}`

func TestCheckOfWhatOthersWrite(t *testing.T) {
	for name, tc := range map[string]struct {
		second string
		fault  string
		note   string
	}{
		"time goes back": {`{"seq":2,"at":"2026-11-25T14:15:03Z","t":-3,"kind":"confirm"`, "time goes backwards: t is -3 s after 0 s", ""},
		"gap in seq":     {`{"seq":4,"at":"2026-11-25T14:15:03Z","t":1,"kind":"confirm"`, "seq is 4 where 2 is", ""},
		"unknown kind":   {`{"seq":2,"at":"2026-11-25T14:15:03Z","t":1,"kind":"stir","stir":{"rpm":300}`, "", `unknown kind "stir"`},
		"unknown key":    {`{"seq":2,"at":"2026-11-25T14:15:03Z","t":1,"kind":"confirm","lamp":"on"`, "", ""},
		"other order":    {`{"kind":"confirm","t":1,"at":"2026-11-25T14:15:03Z","seq":2`, "", ""},
		"no payload":     {`{"seq":2,"at":"2026-11-25T14:15:03Z","t":1,"kind":"added"`, "without its payload", ""},
		"wrong payload":  {`{"seq":2,"at":"2026-11-25T14:15:03Z","t":1,"kind":"confirm","gap":{"seconds":1}`, "with the payload", ""},
		"undo of none":   {`{"seq":2,"at":"2026-11-25T14:15:03Z","t":1,"kind":"undo","undo":{"of":1}`, "", "an addition before it"},
		"bad raw_hex":    {`{"seq":2,"at":"2026-11-25T14:15:03Z","t":1,"kind":"bad_line","raw":"x","raw_hex":"zz"`, "raw_hex", ""},
	} {
		t.Run(name, func(t *testing.T) {
			r := check(t, sealed(startLine, tc.second))
			assertOne(t, tc.fault, r.Faults)
			assertOne(t, tc.note, r.Notes)
		})
	}
}

func assertOne(t *testing.T, want string, got []journal.Finding) {
	t.Helper()
	if want == "" {
		assert.Empty(t, got)
		return
	}
	require.Len(t, got, 1)
	assert.Contains(t, got[0].String(), want)
	assert.EqualValues(t, 2, got[0].Line)
}

func TestReaderErrorsAreReturned(t *testing.T) {
	data := write(t, oneOfEach())
	broken := func() io.Reader {
		return io.MultiReader(bytes.NewReader(data[:len(data)-20]), iotest.ErrReader(errFull))
	}
	_, err := journal.Check(broken())
	require.ErrorIs(t, err, errFull)
	_, err = journal.Scan(broken(), func(journal.Event) error { return nil })
	require.ErrorIs(t, err, errFull, "not taken for a torn tail")
	_, err = journal.CheckFile("testdata/none")
	require.True(t, errors.Is(err, os.ErrNotExist))
}

// One byte at a time, as pipes may deliver, changes nothing.
func TestSlowReader(t *testing.T) {
	data := write(t, oneOfEach())
	r, err := journal.Check(iotest.OneByteReader(bytes.NewReader(data)))
	require.NoError(t, err)
	assert.True(t, r.Sound())
	assert.EqualValues(t, 14, r.Events)
}
