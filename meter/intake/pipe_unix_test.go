//go:build unix

package intake_test

import (
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/intake"
)

// A FIFO that nobody writes into, and a device without an end, are refused at once.
func TestPipesAndDevices(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	_, err := intake.ReadFile(pipe, 1000)
	assert.ErrorIs(t, err, intake.ErrKind)
	assert.ErrorContains(t, err, "it is a pipe")
	for _, device := range []string{"/dev/zero", "/dev/null", "/dev/tty"} {
		_, err := intake.Open(device, 1000)
		assert.ErrorIs(t, err, intake.ErrKind, device)
		assert.ErrorContains(t, err, "it is a device")
	}
}
