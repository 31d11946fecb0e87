package main

import (
	"errors"

	"github.com/spf13/cobra"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/past"
)

// usageError is an error in how the program was called, and withHint any other,
// with what to try.
var usageError, withHint = remedy.Call, remedy.With

// typedHere is an error when the plan is to come from standard input, where something
// else is already typed.
func typedHere(plan, what string) error {
	if plan != textfile.StandardInput {
		return nil
	}
	return usageError(errors.New("--plan -: "+what+" on standard input, so the plan cannot come from it"), "write the plan to a file and name that")
}

// paged, version and plainWords are said often.
var paged, version, plainWords = manners.Paged, manners.Version, intake.Said

// madeBy is the name and version of this program, as records have it.
func madeBy() string { return "halfdrop " + version() }

// lookingBack is where a command looks back.
func lookingBack(cmd *cobra.Command) past.Terminal {
	return past.Terminal{In: cmd.InOrStdin(), Out: cmd.OutOrStdout(), Talk: cmd.ErrOrStderr(), Look: face,
		Busy: func(what string) func() { return manners.Busy(cmd.ErrOrStderr(), what) }}
}
