// Package manners is how a command line talks: errors with hints and an exit status,
// pages of help and of the manual, what is misspelt or left over, defaults of one's own,
// words for a shell to offer, the pager, standard input in the place of a file, speech.
package manners

import (
	"context"
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
	ExitOK          = 0
	ExitFailed      = 1
	ExitUsage       = 2
	ExitMissed      = 3 // the run ended outside the tolerance
	ExitDamaged     = 4 // a journal is damaged
	ExitInterrupted = 130
)

// statuses are the exit statuses of the kinds of failure.
var statuses = map[remedy.Kind]int{
	remedy.Failed: ExitFailed, remedy.Usage: ExitUsage, remedy.Missed: ExitMissed,
	remedy.Damaged: ExitDamaged, remedy.Interrupted: ExitInterrupted,
}

// Tell prints an error the way this program does and is its exit status.
func Tell(w io.Writer, err error) int {
	if err == nil {
		return ExitOK
	}
	code, hints := ExitFailed, []string(nil)
	var e *remedy.Error
	var ended *remedy.Signalled
	switch text := err.Error(); {
	case errors.As(err, &e):
		code, hints = statuses[e.Kind], e.Hints
	case errors.As(err, &ended):
		code, hints = ended.Status(), []string{ended.Hint}
	case errors.Is(err, context.Canceled): // a key or a signal ended what was being waited for
		code, err = ExitInterrupted, errors.New("interrupted")
	case strings.HasPrefix(text, "unknown command"), strings.Contains(text, "arg(s)"):
		code, hints = ExitUsage, []string{"see halfdrop --help"}
	}
	for line := range strings.SplitSeq(phrase.Plain(err).Error(), "\n") {
		fmt.Fprintf(w, "halfdrop: error: %s\n", line)
	}
	for _, h := range hints {
		fmt.Fprintf(w, "halfdrop: hint: %s\n", h)
	}
	return code
}

// Version is the version of the build, as far as the build says it: the state
// of the source with its date, the compiler, the system.
func Version() string {
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
