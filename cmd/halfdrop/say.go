package main

import (
	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
)

// usageError is an error in how the program was called, and withHint any other,
// with what to try.
var usageError, withHint = remedy.Call, remedy.With

// paged, version and plainWords are said often.
var paged, version, plainWords = manners.Paged, manners.Version, intake.Said

// madeBy is the name and version of this program, as records have it.
func madeBy() string { return "halfdrop " + version() }
