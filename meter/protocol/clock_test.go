package protocol_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/protocol"
	"example.org/halfdrop/meter/protocol/protocoltest"
)

// Loggers send the seconds since 1970: the answers are those to a clock that begins with
// the run, with the time as it was sent.
func TestSecondsSince1970(t *testing.T) {
	answers := func(origin float64) (out []string) {
		f := protocoltest.Start(t, protocoltest.Demo(t), "")
		defer f.Close()
		for s := range 90 {
			r := f.Say(fmt.Sprintf(`{"t":%.2f,"ph":%.3f,"temp_c":21.0}`, origin+float64(s), 4.5+0.002*float64(s%3)))
			if s == 60 {
				r = f.Say(fmt.Sprintf(`{"t":%.2f,"added":{"titrant":%q,"drops":3,"from":%.2f}}`, origin+60, r.Titrant, origin+58))
			}
			require.Empty(t, r.Error)
			require.NotNil(t, r.T)
			assert.InDelta(t, origin+float64(s), *r.T, 1e-6)
			r.T = nil
			b, err := json.Marshal(r)
			require.NoError(t, err)
			out = append(out, string(b))
		}
		return out
	}
	assert.Equal(t, answers(0), answers(1_795_860_000))
}

func TestClockOfALine(t *testing.T) {
	say := func(lines ...string) (r protocol.Reply) {
		f := protocoltest.Start(t, protocoltest.Demo(t), "")
		defer f.Close()
		for _, l := range lines {
			r = f.Say(l)
		}
		return r
	}
	for _, c := range []struct {
		lines []string
		want  string
	}{
		{[]string{`{"t":1795860000000,"ph":7}`}, "t = 1795860000000 is not a time in seconds: milliseconds, or smaller? Send the seconds"},
		{[]string{`{"t":-1,"ph":7}`}, "t = -1 is not a time in seconds"},
		{[]string{`{"t":12,"ph":7}`, `{"t":1795860000,"ph":7}`}, "t = 1795860000 is of another clock than 12 before: one for the whole run"},
		{[]string{`{"t":1795860000,"ph":7}`, `{"t":12,"ph":7}`}, "t = 12 is of another clock than 1795860000 before: one for the whole run"},
		{[]string{`{"t":1795860000.5,"ph":7}`, `{"t":1795860000.25,"ph":7}`}, "t = 1795860000.25 runs backwards, after 1795860000.5"},
		{[]string{`{"t":1795860000,"ph":7}`, `{"t":1795860002,"added":{"titrant":"HCl 1 M","drops":1,"from":1795860003}}`}, `"added": "from" 1795860003 is not between 1795860000 and 1795860002`},
		{[]string{`{"t":1795860000,"ph":7}`, `{"t":1795860002,"added":{"titrant":"HCl 1 M","drops":1,"from":2}}`}, `"added": "from" 2 is not between 1795860000 and 1795860002`},
		{[]string{`{"t":999999999,"ph":7}`, `{"t":1000000001,"ph":7}`}, "of another clock"},
	} {
		assert.Contains(t, say(c.lines...).Error, c.want, c.lines)
	}
}
