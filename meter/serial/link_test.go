package serial

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter"
)

// Every state and every event, the ones that cannot meet included.
func TestStep(t *testing.T) {
	const (
		C, O, L, Q, X = meter.Closed, meter.Opening, meter.Live, meter.Quiet, meter.Lost
	)
	want := map[event][5]meter.Link{ // from Closed, Opening, Live, Quiet, Lost
		opened:  {O, O, L, Q, O},
		refused: {X, X, L, Q, X},
		read:    {C, L, L, L, X},
		silence: {C, Q, Q, Q, X},
		broke:   {C, X, X, X, X},
	}
	for e := opened; e <= broke; e++ {
		for i, s := range []meter.Link{C, O, L, Q, X} {
			assert.Equal(t, want[e][i], step(s, e), "%v on event %d", s, e)
		}
	}
}

func TestLines(t *testing.T) {
	at := time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
	type bite struct {
		after time.Duration
		bytes string
	}
	for name, tt := range map[string]struct {
		bites []bite
		want  []string
		cut   string
	}{
		"tail of a line first":       {[]bite{{0, "02\r\npH 7.03\r\n"}}, []string{"pH 7.03"}, "02"},
		"a whole line first":         {[]bite{{0, "pH 7.02\r\npH 7.03\r\n"}}, []string{"pH 7.03"}, "pH 7.02"},
		"silent before":              {[]bite{{400 * time.Millisecond, ""}, {0, "pH 7.02\r\n"}}, []string{"pH 7.02"}, ""},
		"a late read is no silence":  {[]bite{{400 * time.Millisecond, "02\r\n"}}, nil, "02"},
		"in pieces":                  {[]bite{{0, "\npH "}, {0, "7.0"}, {0, "3\r"}, {0, "\n"}}, []string{"pH 7.03"}, ""},
		"broken off, rest dropped":   {[]bite{{0, "\n7."}, {1100 * time.Millisecond, "02\n7.03\n"}}, []string{"7.03"}, "7."},
		"broken off, seen by time":   {[]bite{{0, "\n7."}, {1100 * time.Millisecond, ""}, {0, "02\n7.03\n"}}, []string{"7.03"}, "7."},
		"a short pause is none":      {[]bite{{0, "\n7."}, {900 * time.Millisecond, "02\n"}}, []string{"7.02"}, ""},
		"broken off before any line": {[]bite{{0, "7."}, {1100 * time.Millisecond, "02\n7.03\n"}}, []string{"7.03"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			now := at
			l := newLines("", now)
			var got []string
			var cut string
			for _, b := range tt.bites {
				now = now.Add(b.after)
				whole, c, _ := l.feed(now, []byte(b.bytes))
				for _, line := range whole {
					got = append(got, string(line))
				}
				cut += string(c)
			}
			assert.Equal(t, tt.want, got)
			assert.Equal(t, tt.cut, cut)
		})
	}
}

func TestTerminatorOfADialect(t *testing.T) {
	l := newLines("#", time.Time{})
	whole, _, _ := l.feed(time.Time{}, []byte("x#7.02\r\n#7.03#"))
	assert.Equal(t, [][]byte{[]byte("7.02\r\n"), []byte("7.03")}, whole)
}
