package main

import (
	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/remedy"
)

// usageError is an error in how the program was called, and withHint any other,
// with what to try.
var usageError, withHint = remedy.Call, remedy.With

// paged and version are said often.
var paged, version = manners.Paged, manners.Version
