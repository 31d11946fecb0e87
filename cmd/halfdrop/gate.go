package main

import (
	"fmt"

	"example.org/halfdrop/meter/intake"
)

// plainWords refuses what was said by flags when it is no plain text: pairs of a
// flag and its value.
func plainWords(pairs ...string) error {
	for i := 0; i+1 < len(pairs); i += 2 {
		if err := intake.Words(pairs[i+1], intake.MaxName); err != nil {
			return usageError(fmt.Errorf("%s: %w", pairs[i], err), fmt.Sprintf("use letters, digits and signs, at most %d", intake.MaxName))
		}
	}
	return nil
}
