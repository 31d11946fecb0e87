//go:build unix

package serial_test

import (
	"context"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/serial/serialtest"
)

func search(t *testing.T, names ...string) (serial.Found, []string, time.Duration, error) {
	t.Helper()
	var said []string
	before := time.Now()
	f, err := serial.Find(context.Background(), names, false, func(s string) { said = append(said, s) })
	took := time.Since(before)
	t.Logf("%.1f s: %v\n%s", took.Seconds(), err, strings.Join(said, "\n"))
	return f, said, took, err
}

func TestFindStreaming(t *testing.T) {
	t.Parallel()
	m := serialtest.Plug(t)
	m.Stream(time.Second, lineOf("pH %.3f 25.1 C\r\n"))
	f, _, took, err := search(t, m.Path())
	require.NoError(t, err)
	assert.Equal(t, "9600 8N1", f.Config.Mode())
	assert.Contains(t, m.Sent(), f.Reading.Raw+"\r\n")
	assert.Less(t, took, 3*time.Second)
	s, err := serial.Open(f.Config)
	require.NoError(t, err, "what was found can be opened")
	require.NoError(t, s.Close())
}

// A meter at another speed, a line a second: found, and garbage said to be such.
func TestFindAnotherSpeed(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("NOT RUN: the search for the speed was not tried, for only Linux shows the speed of a pseudo-terminal")
	}
	t.Parallel()
	m := serialtest.Plug(t)
	m.Speak(19200)
	m.Stream(time.Second, lineOf("pH %.3f 25.1 C\r\n"))
	f, said, took, err := search(t, m.Path())
	require.NoError(t, err)
	assert.Equal(t, "19200 8N1", f.Config.Mode())
	assert.Contains(t, m.Sent(), f.Reading.Raw+"\r\n")
	assert.Contains(t, said, m.Path()+": no text at 9600 8N1")
	assert.Less(t, took, serial.FindTime)
}

// Seven bits and even parity, received as eight bits.
func TestFindTellsTheParity(t *testing.T) {
	t.Parallel()
	m := serialtest.Plug(t)
	next := lineOf("%.3f pH\r\n")
	m.Stream(200*time.Millisecond, func() string { return evenParity(next()) })
	f, _, _, err := search(t, m.Path())
	require.NoError(t, err)
	assert.Equal(t, "9600 7E1", f.Config.Mode())
}

func evenParity(s string) string {
	b := []byte(s)
	for i, c := range b {
		for ; c != 0; c &= c - 1 {
			b[i] ^= 0x80
		}
	}
	return string(b)
}

func TestFindTheRightOneOfThree(t *testing.T) {
	t.Parallel()
	silent, other, right := serialtest.Plug(t), serialtest.Plug(t), serialtest.Plug(t)
	other.Stream(100*time.Millisecond, func() string { return "weight 12.0021 g\r\n" })
	right.Stream(500*time.Millisecond, lineOf("%.2f pH,25.1 C\r\n"))
	f, _, took, err := search(t, silent.Path(), other.Path(), right.Path(), "/dev/does-not-exist")
	require.NoError(t, err)
	assert.Equal(t, right.Path(), f.Config.Name)
	assert.Less(t, took, 3*time.Second)
}

func TestFindObeys(t *testing.T) {
	t.Parallel()
	m := serialtest.Plug(t)
	ctx, cancel := context.WithTimeout(context.Background(), 300*time.Millisecond)
	defer cancel()
	before := time.Now()
	_, err := serial.Find(ctx, []string{m.Path()}, false, nil)
	assert.ErrorIs(t, err, context.DeadlineExceeded)
	assert.Less(t, time.Since(before), 500*time.Millisecond)
}

func TestGarbledTextIsNoise(t *testing.T) {
	line := strings.Repeat("pH 7.021 25.1 C\r\n", 5)
	assert.Equal(t, line, string(serialtest.Garble([]byte(line), 9600, 9600)))
	for _, sent := range []int{1200, 2400, 4800, 19200, 38400, 57600, 115200} {
		got := serialtest.Garble([]byte(line), sent, 9600)
		assert.NotEmpty(t, got, "%d baud read at 9600", sent)
		assert.NotContains(t, string(got), "7.021")
	}
}

func TestQueriesOverAPseudoTerminal(t *testing.T) {
	t.Parallel()
	m := serialtest.Plug(t)
	m.Answer(func(q string) string { return q + "\r\n7.021 pH\r\n" }) // with an echo
	s, err := serial.Open(serial.Config{Name: m.Path(), Query: "?\r\n", Interval: 100 * time.Millisecond})
	require.NoError(t, err)
	reports, _ := follow(t, s)
	echoes := 0
	for range 3 {
		r := serialtest.Await(t, reports, "an answer", func(r meter.Report) bool {
			if r.Kind == meter.GotBadLine {
				echoes++
				assert.ErrorContains(t, r.Err, "echo")
			}
			return serialtest.Reading(r)
		})
		assert.Equal(t, 7.021, r.Reading.Value)
	}
	assert.Equal(t, 1, echoes, "the echo is said once")
}
