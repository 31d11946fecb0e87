package remedy_test

import (
	"context"
	"errors"
	"fmt"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/remedy"
)

// What to try goes along with an error, whatever it is wrapped in, and its text stays.
func TestErrorsKeepTheirKindAndHints(t *testing.T) {
	cause := errors.New("no such bottle")
	for _, c := range []struct {
		err  error
		kind remedy.Kind
	}{{remedy.With(cause, "name one that is there"), remedy.Failed}, {remedy.Call(cause, "name one that is there"), remedy.Usage}} {
		assert.EqualError(t, c.err, "no such bottle")
		wrapped := fmt.Errorf("plan: %w", c.err)
		require.ErrorIs(t, wrapped, cause)
		var e *remedy.Error
		require.ErrorAs(t, wrapped, &e)
		assert.Equal(t, c.kind, e.Kind)
		assert.Equal(t, []string{"name one that is there"}, e.Hints)
	}
}

// A run that crashes becomes an error that says how to resume; one that ends is as it was.
func TestGuard(t *testing.T) {
	own := errors.New("its own end")
	assert.Equal(t, own, remedy.Guard(t.Context(), func(context.Context) error { return own }))
	assert.NoError(t, remedy.Guard(t.Context(), func(context.Context) error { return nil }))

	err := remedy.Guard(t.Context(), func(context.Context) error { panic("two drops at once") })
	require.ErrorContains(t, err, "internal error: two drops at once\n")
	assert.ErrorContains(t, err, "remedy_test.go", "where it was")
	var e *remedy.Error
	require.ErrorAs(t, err, &e)
	assert.Contains(t, e.Hints[0], "--resume")
}

// A program that a signal ends has the status that a shell gives it: 128 and its number.
func TestSignalled(t *testing.T) {
	assert.Equal(t, 143, (&remedy.Signalled{By: syscall.SIGTERM}).Status())
	assert.EqualError(t, &remedy.Signalled{By: syscall.SIGTERM}, "terminated: the run is not closed")
}
