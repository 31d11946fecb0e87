package main

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"strings"
	"time"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
)

// How the program talks. Results go to standard output and are data when that
// is a pipe; talk goes to standard error as "halfdrop: error: …" and
// "halfdrop: hint: …", lower case and without a full stop.

// Exit statuses.
const (
	exitOK          = 0
	exitFailed      = 1
	exitUsage       = 2
	exitMissed      = 3 // the run ended outside the tolerance
	exitDamaged     = 4 // a journal is damaged
	exitInterrupted = 130
)

// statuses are the exit statuses of the kinds of failure.
var statuses = map[remedy.Kind]int{
	remedy.Failed: exitFailed, remedy.Usage: exitUsage, remedy.Missed: exitMissed,
	remedy.Damaged: exitDamaged, remedy.Interrupted: exitInterrupted,
}

// usageError is an error in how the program was called, and withHint any other,
// with what to try.
var usageError, withHint = remedy.Call, remedy.With

// tell prints an error the way this program does and is its exit status.
func tell(w io.Writer, err error) int {
	if err == nil {
		return exitOK
	}
	code, hints := exitFailed, []string(nil)
	var e *remedy.Error
	var ended *signalled
	switch text := err.Error(); {
	case errors.As(err, &e):
		code, hints = statuses[e.Kind], e.Hints
	case errors.As(err, &ended):
		code, hints = ended.status(), []string{ended.hint}
	case strings.HasPrefix(text, "unknown command"), strings.Contains(text, "arg(s)"):
		code, hints = exitUsage, []string{"see halfdrop --help"}
	}
	for line := range strings.SplitSeq(phrase.Plain(err).Error(), "\n") {
		fmt.Fprintf(w, "halfdrop: error: %s\n", line)
	}
	for _, h := range hints {
		fmt.Fprintf(w, "halfdrop: hint: %s\n", h)
	}
	return code
}

// version is the version of the build, as far as the build says it: the state
// of the source with its date, the compiler, the system.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	if v == "" || v == "(devel)" {
		v = "development"
	}
	set := map[string]string{}
	for _, s := range info.Settings {
		set[s.Key] = s.Value
	}
	if rev := set["vcs.revision"]; len(rev) >= 12 {
		v += " " + rev[:12]
		if at := set["vcs.time"]; len(at) >= len(time.DateOnly) {
			v += " of " + at[:len(time.DateOnly)]
		}
		if set["vcs.modified"] == "true" {
			v += ", changed since"
		}
	}
	return fmt.Sprintf("%s, %s for %s/%s", v, info.GoVersion, runtime.GOOS, runtime.GOARCH)
}
