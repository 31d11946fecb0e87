package main

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestCrashIsTold: a crash beside the screen becomes an error that says what
// and where, and that nothing is lost.
func TestCrashIsTold(t *testing.T) {
	var out strings.Builder
	code := tell(&out, guarded(t.Context(), func(context.Context) error { panic("no beaker") }))
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, out.String(), "halfdrop: error: internal error: no beaker\n")
	assert.Contains(t, out.String(), "crash_test.go")
	assert.Contains(t, out.String(), "halfdrop: hint: the record holds all that was done")
	assert.NoError(t, guarded(t.Context(), func(context.Context) error { return nil }))
}
