package frame_test

import (
	"testing"

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
				r, n, err := frame.Scan(held)
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

func scanAll(t *testing.T, buf []byte) (out []frame.Result) {
	for {
		r, n, err := frame.Scan(buf)
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
		if _, _, err := frame.Scan(line); err != nil {
			b.Fatal(err)
		}
	}
}
