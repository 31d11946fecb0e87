package live

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A long journal takes seconds to read, and something has to be said meanwhile; the line is
// gone before anything else is.
func TestReadingAJournalAgainIsSaid(t *testing.T) {
	var said []string
	a := Asked{Resume: true, Busy: func(what string) func() {
		said = append(said, what)
		return func() { said = append(said, "done") }
	}}
	require.Error(t, a.Start([]string{filepath.Join(t.TempDir(), "none.jsonl")}))
	assert.Equal(t, []string{"reading none.jsonl", "done"}, said)
}
