package manners

import (
	"context"
	"strings"
	"testing"

	"example.org/halfdrop/meter/remedy"
	"github.com/stretchr/testify/assert"
)

// TestCrashIsTold: a crash beside the screen becomes an error that says what
// and where, and that nothing is lost.
func TestCrashIsTold(t *testing.T) {
	var out strings.Builder
	code := Tell(&out, remedy.Guard(t.Context(), func(context.Context) error { panic("no beaker") }))
	assert.Equal(t, ExitFailed, code)
	assert.Contains(t, out.String(), "halfdrop: error: internal error: no beaker\n")
	assert.Contains(t, out.String(), "say_test.go")
	assert.Contains(t, out.String(), "halfdrop: hint: the record holds everything that was done")
	assert.NoError(t, remedy.Guard(t.Context(), func(context.Context) error { return nil }))
}
