package serial

import (
	"context"
	"fmt"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/serial/serialtest"
)

// shelf is the ports of a computer in a bubble.
type shelf map[string]*fakePort

func (s shelf) open(c Config) (port, error) {
	if p := s[c.Name]; p != nil {
		return p, p.setMode(c)
	}
	return nil, openError(c.Name, syscall.ENOENT)
}

// stream makes a port that a meter sends to at a speed, a line each interval,
// as a receiver at the speed of the port takes it.
func stream(t *testing.T, baud int, every time.Duration, line string) *fakePort {
	p := newFakePort()
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	go func() {
		for {
			select {
			case <-time.After(every):
			case <-p.closed:
				return
			case <-ctx.Done():
				return
			}
			p.mu.Lock()
			set := p.mode.Baud
			p.mu.Unlock()
			p.in <- string(serialtest.Garble([]byte(line), baud, set))
		}
	}()
	return p
}

func (s shelf) find(names ...string) (f Found, took time.Duration, err error) {
	before := time.Now()
	f, err = find(context.Background(), names, nil, s.open, time.Now, false)
	took = time.Since(before)
	for _, p := range s {
		_ = p.Close()
	}
	return f, took, err
}

// A meter that sends by itself, at every speed that is tried.
func TestSearchAtEverySpeed(t *testing.T) {
	for _, mode := range listenModes {
		for _, every := range []time.Duration{100 * time.Millisecond, time.Second} {
			t.Run(fmt.Sprintf("%s each %v", mode, every), func(t *testing.T) {
				synctest.Test(t, func(t *testing.T) {
					var c Config
					require.NoError(t, c.SetMode(mode))
					s := shelf{"p": stream(t, c.Baud, every, "pH 7.021 25.1 C\r\n")}
					f, took, err := s.find("p")
					require.NoError(t, err)
					t.Logf("%.1f s", took.Seconds())
					assert.Equal(t, mode, f.Config.Mode())
					assert.Equal(t, "pH 7.021 25.1 C", f.Reading.Raw)
					assert.LessOrEqual(t, took, FindTime)
				})
			})
		}
	}
}

// A meter that answers, at every mode and with every question that is tried.
func TestSearchByAsking(t *testing.T) {
	for _, mode := range askModes {
		for _, question := range questions {
			t.Run(mode+" "+strings.TrimSpace(question), func(t *testing.T) {
				synctest.Test(t, func(t *testing.T) {
					p := newFakePort()
					p.answers = func(c Config, q string) string {
						if c.Mode() != mode || q != question {
							return ""
						}
						return strings.TrimSpace(q) + "\r\n+7.02100E+00\n" // with its echo
					}
					f, took, err := shelf{"p": p}.find("p")
					require.NoError(t, err)
					t.Logf("%.1f s", took.Seconds())
					assert.Equal(t, mode, f.Config.Mode())
					assert.Equal(t, question, f.Config.Query)
					assert.Equal(t, 7.021, f.Reading.Value)
					assert.LessOrEqual(t, took, FindTime)
				})
			})
		}
	}
}

func TestSearchWithoutSuccess(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := shelf{
			"silent":   newFakePort(),
			"columns":  stream(t, 9600, time.Second, "7.02,25.1\r\n"),
			"balance":  stream(t, 9600, 100*time.Millisecond, "weight 12.0021 g\r\n"),
			"odd rate": stream(t, 31250, 100*time.Millisecond, "pH 7.021 25.1 C\r\n"),
		}
		_, took, err := s.find("silent", "balance", "columns", "odd rate", "absent")
		var f *FindError
		require.ErrorAs(t, err, &f)
		t.Logf("%.1f s: %v", took.Seconds(), err)
		assert.Equal(t, []string{
			"absent: no such port",
			"balance: lines came, but none was a reading; a dialect file can describe them",
			"columns: lines came (nothing says which number is the pH); run `halfdrop ports --learn NAME`, then use --meter NAME",
			"odd rate: bytes came, and at no usual speed were they text",
			"silent: nothing came at any speed, and no question was answered",
		}, f.Ports)
		assert.Contains(t, Hint(err), "ports --learn")
		assert.LessOrEqual(t, took, FindTime)
	})
}

// A meter that is still to be learned is found by what it sends, whatever that is.
func TestSearchForATalker(t *testing.T) {
	for _, line := range []string{"7.02,25.1\r\n", "R7.02/25.1\r\n", "pH 7.02\r\n"} {
		synctest.Test(t, func(t *testing.T) {
			s := shelf{"p": stream(t, 19200, time.Second, line), "silent": newFakePort()}
			f, err := find(context.Background(), []string{"silent", "p"}, nil, s.open, time.Now, true)
			for _, p := range s {
				_ = p.Close()
			}
			require.NoError(t, err)
			assert.Equal(t, "p", f.Config.Name)
			assert.Equal(t, "19200 8N1", f.Config.Mode())
			assert.Equal(t, strings.TrimSpace(line), f.Reading.Raw)
		})
	}
}

func TestSearchWithoutPorts(t *testing.T) {
	_, err := find(context.Background(), []string{}, nil, shelf{}.open, time.Now, false)
	var f *FindError
	if ports, _ := List(); len(ports) > 0 {
		require.ErrorAs(t, err, &f)
		assert.Contains(t, err.Error(), "no such port")
		return
	}
	require.ErrorAs(t, err, &f)
	assert.Contains(t, Hint(err), "plug the adapter in")
}

func TestSearchEndsTheOthersWhenOneIsFound(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := shelf{"silent": newFakePort(), "meter": stream(t, 9600, time.Second, "7.02 pH,25.1 C\r\n")}
		f, took, err := s.find("silent", "meter")
		require.NoError(t, err)
		assert.Equal(t, "meter", f.Config.Name)
		assert.LessOrEqual(t, took, 3*time.Second)
	})
}
