package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"unicode/utf8"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
)

// Largest sizes of files that are read, bytes (choice): far above what a person
// writes or a run of days leaves.
const (
	maxPlan    = 256 << 10
	maxDialect = 64 << 10
	maxConfig  = 64 << 10
	maxLog     = 512 << 20
	maxJournal = journal.MaxFile
)

// readText reads an ordinary file of text.
func readText(path string, limit int64) ([]byte, error) {
	var data []byte
	var err error
	if path == standardInput {
		if data, err = io.ReadAll(io.LimitReader(os.Stdin, limit+1)); err == nil && int64(len(data)) > limit {
			err = withHint(fmt.Errorf("standard input is longer than %d bytes", limit), "is it the right file?")
		}
		path = "standard input"
	} else {
		data, err = intake.ReadFile(path, limit)
	}
	if err != nil {
		return nil, gated(err)
	}
	if !utf8.Valid(data) {
		line, column := badByte(data)
		return nil, withHint(fmt.Errorf("%s:%d:%d: a byte that is no text in UTF-8", path, line, column), "save it as UTF-8, without anything else")
	}
	return data, nil
}

// gated adds what to try about a file that is not read.
func gated(err error) error {
	switch {
	case errors.Is(err, intake.ErrKind):
		return withHint(err, "name an ordinary file; lines of a meter can come by --port -")
	case errors.Is(err, intake.ErrSize):
		return withHint(err, "is it the right file?")
	}
	return err
}

// badByte is line and column of the first byte that is no text.
func badByte(data []byte) (line, column int) {
	line, column = 1, 1
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		switch {
		case r == utf8.RuneError && n == 1:
			return line, column
		case r == '\n':
			line, column = line+1, 0
		}
		data, column = data[n:], column+1
	}
	return line, column
}

// plainWords refuses what was said by flags when it is no plain text: pairs of a
// flag and its value.
func plainWords(pairs ...string) error {
	for i := 0; i+1 < len(pairs); i += 2 {
		if err := intake.Words(pairs[i+1], intake.MaxName); err != nil {
			return usageError(fmt.Errorf("%s: %w", pairs[i], err), fmt.Sprintf("letters, digits and signs are wanted, at most %d", intake.MaxName))
		}
	}
	return nil
}
