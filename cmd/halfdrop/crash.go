package main

import (
	"context"
	"fmt"
	"runtime/debug"
	"strings"
)

// guarded runs a run beside its screen. Should it crash, the screen can still
// give the terminal back before the fault is told.
func guarded(ctx context.Context, run func(context.Context) error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = withHint(fmt.Errorf("internal error: %v\n%s", r, strings.TrimSpace(string(debug.Stack()))),
				"the record holds all that was done; go on with halfdrop titrate --resume", "whoever mends the program wants the lines above")
		}
	}()
	return run(ctx)
}
