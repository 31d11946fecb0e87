package serial_test

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/serial/serialtest"
)

// The port belongs to a group that this user is not in. The administrator may
// open everything, so one thread of the test becomes somebody else.
func TestNoPermission(t *testing.T) {
	m := serialtest.Plug(t)
	device, err := filepath.EvalSymlinks(m.Path())
	require.NoError(t, err)
	require.NoError(t, os.Chmod(device, 0))
	if os.Geteuid() == 0 {
		runtime.LockOSThread() // never unlocked: the thread ends with the test
		require.NoError(t, unix.Setfsuid(65534))
		defer func() { _ = unix.Setfsuid(0) }()
	}
	_, hint := refusedFor(t, m.Path(), meter.ErrPermission)
	assert.Regexp(t, `become a member of the group \w+`, hint)
	assert.Contains(t, hint, "log out and in again")
}
