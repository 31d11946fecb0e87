package textfile

import (
	"encoding/json"
	"fmt"
	"io"

	"example.org/halfdrop/meter/intake"
)

// JSONLine writes a value as one line of JSON.
func JSONLine(w io.Writer, v any) error {
	b, err := json.Marshal(v)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s\n", b)
	return err
}

// JSON writes a value as JSON for people and programs: set in, and without anything
// that does something to a terminal.
func JSON(out io.Writer, v any) error {
	b, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	_, err = out.Write(append(intake.JSON(b), '\n'))
	return err
}
