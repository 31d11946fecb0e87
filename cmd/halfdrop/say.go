package main

import (
	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/tui/past"
	"github.com/spf13/cobra"
)

// usageError is an error in how the program was called, and withHint any other,
// with what to try.
var usageError, withHint = remedy.Call, remedy.With

// paged, version and plainWords are said often.
var paged, version, plainWords = manners.Paged, manners.Version, intake.Said

// madeBy is the name and version of this program, as records have it.
func madeBy() string { return "halfdrop " + version() }

// terminal is where a command looks back.
func terminal(cmd *cobra.Command) past.Terminal {
	return past.Terminal{In: cmd.InOrStdin(), Out: cmd.OutOrStdout(), Talk: cmd.ErrOrStderr(), Look: face,
		Busy: func(what string) func() { return manners.Busy(cmd.ErrOrStderr(), what) }}
}
