package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The form of plan opens when nothing is asked for yet; how it is to look is
// no such thing.
func TestPlanAsks(t *testing.T) {
	for line, want := range map[string]bool{"": false, "--ascii": false, "--bell": false, "--list": true, "--ph": true} {
		root := newRootCommand()
		plan, _, err := root.Find([]string{"plan"})
		require.NoError(t, err)
		var args []string
		switch line {
		case "":
		case "--ph":
			args = []string{line, "7.4"}
		default:
			args = []string{line}
		}
		require.NoError(t, plan.ParseFlags(args))
		assert.Equal(t, want, asks(plan), line)
	}
}
