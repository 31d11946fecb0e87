package serial

import (
	"example.org/halfdrop/meter/remedy"
)

// Hinted adds what the serial package knows to try.
func Hinted(err error) error {
	if h := Hint(err); h != "" {
		return remedy.With(err, h)
	}
	return err
}
