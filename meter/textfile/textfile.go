// Package textfile is how files of text that people write, or that are kept
// between runs, are read and written: read whole and only when they are ordinary
// files of a size, decoded strictly with the place of every fault, and written
// anew without ever leaving half a file behind.
package textfile

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/remedy"
)

// Largest sizes of files that are read, bytes (choice): far above what a person
// writes or a run of days leaves.
const (
	MaxPlan    = 256 << 10
	MaxDialect = 64 << 10
	MaxConfig  = 64 << 10
	MaxLog     = 512 << 20
	MaxJournal = journal.MaxFile
)

// Read reads an ordinary file of text.
func Read(path string, limit int64) ([]byte, error) {
	var data []byte
	var err error
	if path == StandardInput {
		if data, err = io.ReadAll(io.LimitReader(os.Stdin, limit+1)); err == nil && int64(len(data)) > limit {
			err = remedy.With(fmt.Errorf("standard input is longer than %d bytes", limit), "is it the right file?")
		}
		path = "standard input"
	} else {
		data, err = intake.ReadFile(path, limit)
	}
	if err != nil {
		return nil, Refused(err)
	}
	if !utf8.Valid(data) {
		line, column := badByte(data)
		return nil, remedy.Call(fmt.Errorf("%s:%d:%d: a byte that is not UTF-8 text", path, line, column), "save it as plain UTF-8")
	}
	return data, nil
}

// Refused adds what to try about a file that is not read.
func Refused(err error) error {
	switch {
	case errors.Is(err, intake.ErrKind):
		return remedy.With(err, "name an ordinary file")
	case errors.Is(err, intake.ErrSize):
		return remedy.With(err, "is it the right file?")
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

// StandardInput stands for the lines of standard input wherever a file is read.
const StandardInput = "-"

// inFolder is why a file could not be made: where its folder is missing, that.
func inFolder(path string, err error) error {
	dir := filepath.Dir(path)
	if _, gone := os.Stat(dir); errors.Is(err, fs.ErrNotExist) && errors.Is(gone, fs.ErrNotExist) {
		return remedy.With(fmt.Errorf("%s: there is no folder %s", path, dir), "make the folder, or name one that exists")
	}
	return err
}

// Exchange writes a file anew, synced, and puts it in the place of the old one, so
// that a power cut spoils neither. The folder must exist.
func Exchange(path string, text []byte, mode fs.FileMode) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".new-"+filepath.Base(path)+"-*")
	if err != nil {
		return inFolder(path, err)
	}
	defer os.Remove(f.Name()) // gone by then, unless something failed
	_, err = f.Write(text)
	if err = errors.Join(err, f.Chmod(mode), f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// WriteNew writes a file that is not there yet.
func WriteNew(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return inFolder(path, err)
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// kept reports whether a file that exists is one that nothing is written over: a journal
// or a plan, by its name or as it begins.
func kept(path string) bool {
	ext := strings.ToLower(filepath.Ext(path))
	return regular(path) && (ext == ".jsonl" || ext == ".toml" || IsJournal(path))
}

func regular(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// IsJournal reports whether a file begins as the journal of a run.
func IsJournal(path string) bool {
	if !regular(path) { // a FIFO would wait for a writer
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, len(journalHead))
	_, err = io.ReadFull(f, head)
	return err == nil && string(head) == journalHead
}

// journalHead is how a journal begins (meter/journal/doc.go).
const journalHead = `{"seq":1,`

// Create writes a file as it is made; one that exists only where over says so, else
// the error is os.ErrExist. A journal or a plan is never written over.
func Create(path string, over bool, write func(io.Writer) error) error {
	if kept(path) {
		return remedy.Call(fmt.Errorf("%s is a journal or a plan, which is not written over", path), "give another name")
	}
	flags := os.O_WRONLY | os.O_CREATE | os.O_TRUNC
	if !over {
		flags |= os.O_EXCL
	}
	f, err := os.OpenFile(path, flags, 0o644)
	if err != nil {
		return inFolder(path, err)
	}
	return errors.Join(write(f), f.Close())
}

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
