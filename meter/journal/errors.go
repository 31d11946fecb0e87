package journal

import (
	"cmp"
	"errors"
	"fmt"
)

// What a caller may have to tell apart; wrapped with the file and the remedy.
var (
	// When opening.
	ErrLocked = errors.New("another program is writing this journal")
	ErrStart  = errors.New("the journal does not begin with a start event")
	ErrFormat = errors.New("unknown version of the journal format")

	// When appending.
	ErrEvent     = errors.New("the event cannot be written")        // a mistake of the caller; nothing was written
	ErrBackwards = errors.New("t is before that of the last event") // nothing was written
	ErrBroken    = errors.New("the journal takes no more events")   // for good: trying again is of no use
	ErrRemoved   = errors.New("the file is no longer there")        // removed, renamed or replaced while open
	ErrClosed    = errors.New("the journal is closed")
)

// LockedError says which journal somebody else is writing; it is an ErrLocked.
type LockedError struct{ Path string }

// Error says what, where, and what to try.
func (e *LockedError) Error() string {
	return fmt.Sprintf("journal: %v: %s (end the other halfdrop that has this run open, or choose another file)", ErrLocked, e.Path)
}

// Unwrap makes it an ErrLocked.
func (e *LockedError) Unwrap() error { return ErrLocked }

// SavedError is a journal that another program has saved anew: what it says is as
// it was written, but nothing can be appended to it as it is.
type SavedError struct{ Path, How string }

// Error says what, where, and what to try.
func (e *SavedError) Error() string {
	return fmt.Sprintf("journal: %s: %s; what it says is as it was written, but the run cannot continue in it (make it as it was, with LF at the end of each line and nothing before the first, or use the copy that was not saved again)", e.Path, e.How)
}

// DamageError is damage before the end of a journal: sound lines come after
// it, so it cannot be a line torn by a crash, and it is not for a program to
// decide what they are worth.
type DamageError struct {
	Path   string // empty when read from a stream
	Line   int64  // 1 for the first
	Offset int64  // of the line's first byte; all bytes before it are sound
	Why    string
}

// Error says what, where, and what to try.
func (e *DamageError) Error() string {
	where := cmp.Or(e.Path, "the journal")
	try := fmt.Sprintf("copy its first %d bytes to a new file to resume from the sound part", e.Offset)
	if e.Offset == 0 {
		try = "nothing before this line can be used"
	}
	return fmt.Sprintf("journal: %s is damaged at line %d, byte %d: %s; sound lines follow, so it was not merely cut short (list every fault with check; %s)",
		where, e.Line, e.Offset, e.Why, try)
}
