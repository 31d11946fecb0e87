package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/halfdrop/meter/protocol"
	"example.org/halfdrop/meter/protocol/protocoltest"
	"example.org/halfdrop/tui/live"
	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A check in standards through the line protocol: the electrode leaves the beaker,
// what it reads meanwhile advises nothing, the verdict is in the answer, and the run
// goes on. Journal, replay and report have it.
func TestAdviseCheckInStandards(t *testing.T) {
	file := filepath.Join(t.TempDir(), "run.jsonl")
	plan, err := (&live.Asked{}).Recipe()
	require.NoError(t, err)
	f := protocoltest.Start(t, plan, file)
	sec, y := 0, 4.0
	say := func(text string) protocol.Reply {
		t.Helper()
		return f.Say(fmt.Sprintf(`{"t":%d,%s}`, sec, text))
	}
	in := func(ph float64, n int) (r protocol.Reply) { // an electrode of 3 s
		t.Helper()
		for range n {
			sec++
			y = ph + (y-ph)*math.Exp(-1/3.0)
			r = say(fmt.Sprintf(`"ph":%.3f,"temp_c":21`, y+0.001*float64(sec*sec%5-2)))
			require.Empty(t, r.Error)
			if r.Away != nil {
				assert.Equal(t, "in_standard", r.Reason)
				assert.NotEqual(t, "add", r.Do, "nothing is added while the electrode is out")
			}
		}
		return r
	}
	before := in(4.1, 60)
	for bad, says := range map[string]string{
		`"check":7`: `be true, a list of standards`, `"check":[]`: `be true, a list of standards`, `"check":["5.5"]`: "no such standard",
		`"check":[" "]`: "a standard without a name", `"check":"in"`: "no check in standards is in progress", `"check":true,"undo":true`: "a line says one thing",
	} {
		assert.Contains(t, say(bad).Error, says, bad)
	}
	r := say(`"check":["7.00","4.01"]`)
	require.NotNil(t, r.Away, r.Error)
	assert.Equal(t, protocol.Away{Wants: "dip", Standard: "7.00", Number: 1, Of: 2}, *r.Away)
	in(6, 5)
	assert.Equal(t, "reading", say(`"check":"in"`).Away.Wants)
	r = in(7.02, 120)
	assert.Equal(t, protocol.Away{Wants: "dip", Standard: "4.01", Number: 2, Of: 2}, *r.Away)
	in(6, 5)
	say(`"check":"in"`)
	r = in(4.00, 120)
	assert.Equal(t, "back", r.Away.Wants)
	require.NotNil(t, r.Checked)
	require.Len(t, r.Checked.Seen, 2)
	assert.InDelta(t, 7.02-7.016, r.Checked.Seen[1].Shift, 0.01, "7.00 is pH 7.016 at 21 °C")
	assert.InDelta(t, 0, r.Checked.Shift, 0.02)
	assert.InDelta(t, 100, *r.Checked.Slope, 1)
	r = say(`"immersed":true`)
	assert.Nil(t, r.Away)
	assert.Nil(t, r.Checked)
	after := in(4.1, 60)
	assert.Equal(t, before.Do, after.Do, after.Why)
	assert.InDelta(t, before.Drops, after.Drops, 0.2*before.Drops)
	f.Close()

	text, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(string(text), `"kind":"checked"`))
	assert.Equal(t, 3, strings.Count(string(text), `"kind":"checking"`))
	for _, c := range []struct {
		cmd  *cobra.Command
		args []string
		says string
	}{
		{newReplayCommand(), []string{"--summary", file}, "electrode checked: off by"},
		{newReplayCommand(), []string{"--json", file}, `"checks": [ { "t": `},
		{newReportCommand(), []string{file}, "changed no reading and is not a new calibration"},
		{newReportCommand(), []string{"--json", file}, `"checked": [ { "format": 1,`},
	} {
		var out strings.Builder
		c.cmd.SetOut(&out)
		c.cmd.SetErr(&out)
		c.cmd.SetArgs(c.args)
		_ = c.cmd.Execute() // the run was not read at rest, which is an exit status
		assert.Contains(t, strings.Join(strings.Fields(out.String()), " "), c.says, c.args)
	}
}
