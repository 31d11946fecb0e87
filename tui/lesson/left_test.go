package lesson

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run"
)

// A run at twice the speed of time was left when its file was last written, not when its
// bench says, which is ahead; of a copy that was made later the bench knows better.
func TestWhenARunWasLeft(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	written := time.Date(2031, 5, 4, 6, 10, 0, 0, time.UTC)
	require.NoError(t, os.Chtimes(path, written, written))
	k := leftRun{Kept: run.Kept{Path: path, Last: written.Add(3 * time.Minute)}}
	assert.True(t, k.left().Equal(written))
	k.Last = written.Add(-time.Hour)
	assert.True(t, k.left().Equal(k.Last))
}
