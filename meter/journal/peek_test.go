package journal_test

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

// At any length of the file Peek finds the event that Scan ends with.
func TestPeekAgreesWithScan(t *testing.T) {
	events := oneOfEach()
	events[11].Remark.Text = strings.Repeat("long ", 20_000) // longer than the first looks back
	data := write(t, events)
	lines := ends(data)
	for _, cut := range append(lines, lines[11]-1, lines[11]-7000, lines[12]+5, lines[3]-1) {
		path := onFile(t, data[:cut])
		first, last, err := journal.Peek(path)
		require.NoError(t, err)
		got, tail, err := scan(data[:cut])
		require.NoError(t, err)
		assert.Equal(t, "bench 4", first.Start.Operator)
		assert.Equal(t, tail.Events, last.Seq)
		assert.Equal(t, text(t, got[len(got)-1]), text(t, last))
	}
}

func TestPeekRefuses(t *testing.T) {
	data := write(t, oneOfEach())
	_, _, err := journal.Peek(onFile(t, nil))
	require.ErrorIs(t, err, journal.ErrStart)
	_, _, err = journal.Peek(onFile(t, data[1:]))
	require.ErrorContains(t, err, "the first line")
	_, _, err = journal.Peek(filepath.Join(t.TempDir(), "none"))
	require.Error(t, err)
	first := ends(data)[0]
	_, _, err = journal.Peek(onFile(t, append(data[:first:first], bytes.Repeat([]byte("x"), 12<<20)...)))
	require.ErrorContains(t, err, "no whole event", "it does not read any amount")
}
