package past

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
)

// Open reads a journal; one that is damaged ends with the status for that.
func Open(path string) (*replay.Run, error) {
	r, err := replay.Open(path)
	var damage *journal.DamageError
	switch {
	case err == nil:
		return r, nil
	case errors.As(err, &damage):
		return nil, &remedy.Error{Kind: remedy.Damaged, Err: err, Hints: []string{"halfdrop check " + path + " names every fault"}}
	case errors.Is(err, journal.ErrStart):
		if st, err := os.Stat(path); err == nil && st.Size() == 0 {
			return nil, remedy.With(fmt.Errorf("%s: the file is empty", path), "it takes the journal of a run, or, for halfdrop replay, the log of another program")
		}
		return nil, remedy.With(errors.New(strings.TrimPrefix(err.Error(), "replay: ")), "this is not a halfdrop journal; the log of another program is read by halfdrop replay, as a table")
	}
	return nil, err
}
