package serial

import (
	"context"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAdapterBackUnderAnotherName(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.send("\n7.02\n")
		b.states()
		back := newFakePort()
		b.mu.Lock()
		b.ports = map[string]*fakePort{"port1": back, "port2": newFakePort()}
		b.known = []Info{{Name: "port2", USB: true, VID: "1A2B", PID: "0001", Serial: "8"}}
		b.mu.Unlock()
		_ = b.port.Close()
		b.wait(2 * time.Second)
		assert.Equal(t, []string{"lost"}, b.states(), "another adapter of the kind is not taken for it")
		b.mu.Lock()
		b.known = append(b.known, Info{Name: "port1", USB: true, VID: "1A2B", PID: "0001", Serial: "7"})
		b.mu.Unlock()
		b.port = back
		b.wait(time.Second)
		b.send("7.03\n")
		assert.Equal(t, []string{"opening", "live", "7.030"}, b.states())
		assert.Equal(t, "serial port port1", b.s.String())
		b.end()
	})
}

func TestPortTakenByAnotherProgramMeanwhile(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.states()
		b.mu.Lock()
		b.deny = syscall.EBUSY
		b.mu.Unlock()
		_ = b.port.Close()
		b.wait(3 * time.Second)
		got := b.got()
		require.Len(t, got, 2, "the loss and its cause, each said once")
		assert.Contains(t, got[1], "in use by another program: close the other program")
		b.port = newFakePort()
		b.mu.Lock()
		b.deny, b.ports["port0"] = nil, b.port
		b.mu.Unlock()
		b.wait(time.Second)
		b.send("7.02\n")
		assert.Equal(t, []string{"opening", "live", "7.020"}, b.states())
		b.end()
	})
}

func TestDeviceGoneWithoutAnError(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		b.run()
		b.mu.Lock()
		b.ports = nil
		b.mu.Unlock()
		b.port.mu.Lock()
		b.port.gone = true
		b.port.mu.Unlock()
		b.wait(3 * time.Second)
		assert.Equal(t, []string{"opening", "lost"}, b.states())
		b.cancel()
		before := time.Now()
		assert.ErrorIs(t, <-b.done, context.Canceled)
		assert.Equal(t, before, time.Now())
	})
}

func TestSourceThatIsNeverRunIsClosed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, Config{})
		require.NoError(t, b.s.Close())
		<-b.port.closed
		require.NoError(t, b.s.Close())
	})
}
