package journal

import (
	"errors"
	"fmt"
	"io"

	"example.org/halfdrop/meter/phrase"
)

// Verdict is what was found in one file.
type Verdict struct {
	Report
	Name string
}

// Print writes every fault and note on lines of their own, and then in a line how the
// journal stands.
func (v Verdict) Print(out io.Writer) {
	for _, f := range v.Faults {
		fmt.Fprintf(out, "%s: %v\n", v.Name, f)
	}
	for _, n := range v.Notes {
		fmt.Fprintf(out, "%s: note: %v\n", v.Name, n)
	}
	if !v.Sound() {
		fmt.Fprintf(out, "%s: damaged: %s in %s\n", v.Name, phrase.Counted(len(v.Faults), "fault"), phrase.Counted(v.Lines, "line"))
		return
	}
	additions, end := phrase.Counted(v.Additions, "addition"), "not ended"
	if v.Withdrawn > 0 {
		additions += fmt.Sprintf(" (%d withdrawn)", v.Withdrawn)
	}
	if v.Ended {
		end = "ended"
	}
	fmt.Fprintf(out, "%s: sound: %s, %s, %s, %s, last sum %s\n",
		v.Name, phrase.Counted(v.Events, "event"), additions, phrase.Lasting(v.Seconds), end, v.Sum)
}

// Remedy is what to try with the damaged file.
func (v Verdict) Remedy() string {
	name := v.Name
	tail, err := ScanFile(name, func(Event) error { return nil })
	var damage *DamageError
	switch {
	case err == nil && tail.Torn():
		return fmt.Sprintf("%s: the %s before byte %d are sound; resuming the run sets the torn end aside in a second file", name, phrase.Counted(tail.Events, "event"), tail.Good)
	case err == nil:
		return name + ": its lines are as they were written; what wrote them was at fault"
	case errors.As(err, &damage) && damage.Offset > 0:
		return fmt.Sprintf("%s: the first %d bytes are sound; to resume from there, copy them to a new file (head -c %d), and keep this one", name, damage.Offset, damage.Offset)
	case errors.Is(err, ErrFormat):
		return name + ": use the version of halfdrop that wrote it, or a newer one"
	}
	return name + ": no part of it can be used; is it a halfdrop journal at all?"
}

// CheckedJSON is what was found in one journal.
type CheckedJSON struct {
	File  string `json:"file"`
	Sound bool   `json:"sound"`
	Report
}

// JSON is the verdict for another program.
func (v Verdict) JSON() CheckedJSON {
	r := v.Report
	r.Faults, r.Notes = append([]Finding{}, r.Faults...), append([]Finding{}, r.Notes...) // not null
	return CheckedJSON{v.Name, v.Sound(), r}
}
