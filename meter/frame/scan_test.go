package frame_test

import (
	"errors"
	"testing"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"github.com/stretchr/testify/require"
)

// FuzzScan: no panic, no loop, no number out of range, and the same line gives
// the same reading when it comes byte by byte.
func FuzzScan(f *testing.F) {
	for _, c := range captures {
		f.Add([]byte(c.bytes))
	}
	f.Add([]byte("7.0.2\r\n\r\n$*00\n{\"ph\":\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		whole := scanAll(t, data)
		var pieces []frame.Result
		var held []byte
		for _, c := range data {
			held = append(held, c)
			for {
				r, n, err := scan(held)
				if n == 0 {
					break
				}
				held = held[n:]
				if err == nil {
					pieces = append(pieces, r)
				}
			}
		}
		require.Equal(t, len(whole), len(pieces))
		for i := range whole {
			require.Equal(t, whole[i].Reading.Raw, pieces[i].Reading.Raw)
		}
	})
}

// errBlank is the error of scan for terminators with no line before them.
var errBlank = errors.New("no line")

// scan reads the first line in buf as a source does: n is how many bytes it took, 0 while
// the line is not complete.
func scan(buf []byte) (r frame.Result, n int, err error) {
	line, n := frame.Cut(buf, "")
	switch {
	case n == 0:
		return frame.Result{}, 0, nil
	case len(line) == 0:
		return frame.Result{}, n, errBlank
	}
	r, err = frame.Read(line)
	return r, n, err
}

// spoken is the reading of one line.
func spoken(line string) (meter.Reading, error) {
	r, err := frame.Read([]byte(line))
	return r.Reading, err
}

func scanAll(t *testing.T, buf []byte) (out []frame.Result) {
	for {
		r, n, err := scan(buf)
		require.GreaterOrEqual(t, n, 0)
		require.LessOrEqual(t, n, len(buf))
		if n == 0 {
			return out
		}
		buf = buf[n:]
		if err != nil {
			continue
		}
		v := r.Reading
		if v.Usable() && v.Quantity == 0 {
			require.True(t, v.Value >= frame.MinPH && v.Value <= frame.MaxPH)
		}
		if !v.Usable() {
			require.NotZero(t, v.Flags)
		}
		require.False(t, v.HasTemp && (v.TempC < frame.MinTemp || v.TempC > frame.MaxTemp))
		out = append(out, r)
	}
}

func BenchmarkScan(b *testing.B) {
	line := []byte("2026-11-25T10:15:03Z,7.021,pH,25.1,C,ATC,unstable\r\n")
	for b.Loop() {
		if _, _, err := scan(line); err != nil {
			b.Fatal(err)
		}
	}
}
