package shelf_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/shelf"
)

// TestLeftAt: a run whose simulated time ran ahead was left when its file was written
// last, any other at its last event, also where the file was touched later.
func TestLeftAt(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	written := time.Date(2026, 11, 26, 23, 58, 0, 0, time.UTC)
	require.NoError(t, os.Chtimes(path, written, written))
	assert.True(t, shelf.LeftAt(path, written.Add(19*time.Minute)).Equal(written))
	before := written.Add(-time.Hour)
	assert.Equal(t, before, shelf.LeftAt(path, before))
	assert.Equal(t, before, shelf.LeftAt(path+"x", before), "a file that is gone")
}
