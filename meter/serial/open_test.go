//go:build unix

package serial_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/serial/serialtest"
)

// refusedFor opens a port that cannot be opened, and gives the words about it.
func refusedFor(t *testing.T, name string, kind error) (words, hint string) {
	t.Helper()
	s, err := serial.Open(serial.Config{Name: name})
	require.Nil(t, s)
	require.ErrorIs(t, err, kind)
	var o *serial.OpenError
	require.ErrorAs(t, err, &o)
	assert.Equal(t, name, o.Name)
	t.Logf("error: %v\nhint: %s", err, serial.Hint(err))
	return err.Error(), serial.Hint(err)
}

func TestNoSuchPort(t *testing.T) {
	name := filepath.Join(t.TempDir(), "ttyNONE0")
	words, hint := refusedFor(t, name, meter.ErrNoPort)
	assert.Equal(t, "serial: "+name+": no such port", words)
	assert.Regexp(t, "^(ports found: |no serial port was found: plug the adapter in)", hint)
}

func TestNotASerialPort(t *testing.T) {
	name := filepath.Join(t.TempDir(), "notes.txt")
	require.NoError(t, os.WriteFile(name, []byte("7.02\n"), 0o600))
	words, _ := refusedFor(t, name, meter.ErrNoPort)
	assert.Contains(t, words, "it is not a serial port")
}

func TestPortInUse(t *testing.T) {
	m := serialtest.Plug(t)
	s, err := serial.Open(serial.Config{Name: m.Path()})
	require.NoError(t, err)
	files := descriptors(t)
	_, hint := refusedFor(t, m.Path(), meter.ErrBusy)
	assert.Contains(t, hint, "close the other program")
	assert.Equal(t, files, descriptors(t), "a refused port leaves no descriptor")
	require.NoError(t, s.Close())
	s, err = serial.Open(serial.Config{Name: m.Path()})
	require.NoError(t, err, "free again")
	require.NoError(t, s.Close())
}

func TestListGivesNames(t *testing.T) {
	ports, err := serial.List()
	require.NoError(t, err)
	for _, p := range ports {
		assert.NotEmpty(t, p.Name)
		assert.Contains(t, p.String(), p.Name)
	}
	t.Logf("%d ports here", len(ports))
}
