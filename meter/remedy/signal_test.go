//go:build unix

package remedy_test

import (
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/remedy"
)

// The first signal ends the context and is known; without one nothing was caught.
func TestUntilSignal(t *testing.T) {
	ctx, caught, stop := remedy.UntilSignal(t.Context())
	assert.Nil(t, caught())
	require.NoError(t, syscall.Kill(syscall.Getpid(), syscall.SIGHUP))
	select {
	case <-ctx.Done():
	case <-time.After(time.Minute):
		require.FailNow(t, "the context did not end")
	}
	require.NotNil(t, caught())
	assert.Equal(t, syscall.SIGHUP, *caught())
	stop()

	ctx, caught, stop = remedy.UntilSignal(t.Context())
	stop()
	<-ctx.Done()
	assert.Nil(t, caught())
}
