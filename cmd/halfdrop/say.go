package main

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"strings"
	"time"
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

// exitError is an error with an exit status and hints on what to try.
type exitError struct {
	code  int
	err   error
	hints []string
}

func (e *exitError) Error() string { return e.err.Error() }
func (e *exitError) Unwrap() error { return e.err }

// usageError is an error in how the program was called.
func usageError(err error, hints ...string) error {
	return &exitError{code: exitUsage, err: err, hints: hints}
}

// withHint adds what to try to an error.
func withHint(err error, hints ...string) error {
	return &exitError{code: exitFailed, err: err, hints: hints}
}

// tell prints an error the way this program does and is its exit status.
func tell(w io.Writer, err error) int {
	if err == nil {
		return exitOK
	}
	var e *exitError
	if !errors.As(err, &e) {
		e = &exitError{code: exitFailed, err: err}
		if strings.HasPrefix(err.Error(), "unknown command") || strings.Contains(err.Error(), "arg(s)") {
			e.code, e.hints = exitUsage, []string{"see halfdrop --help"}
		}
	}
	for line := range strings.SplitSeq(err.Error(), "\n") {
		fmt.Fprintf(w, "halfdrop: error: %s\n", line)
	}
	for _, h := range e.hints {
		fmt.Fprintf(w, "halfdrop: hint: %s\n", h)
	}
	return e.code
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
