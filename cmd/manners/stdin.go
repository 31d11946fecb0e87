package manners

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"

	"github.com/spf13/cobra"
)

// spool puts standard input into a file of its own, for what reads a file more than
// once, and is that file. The folder is for the caller to take away.
func spool(in io.Reader, limit int64) (path string, err error) {
	dir, err := os.MkdirTemp("", "halfdrop-")
	if err != nil {
		return "", err
	}
	path = filepath.Join(dir, "standard input")
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err == nil {
		var n int64
		n, err = io.Copy(f, io.LimitReader(in, limit+1))
		err = errors.Join(err, f.Close())
		if err == nil && n > limit {
			err = fmt.Errorf("standard input is longer than %d bytes", limit)
		}
	}
	if err != nil {
		os.RemoveAll(dir)
	}
	return path, err
}

// ReadsFiles are the commands whose arguments are files to read.
var ReadsFiles = map[string]bool{"check": true, "replay": true, "report": true, "label": true, "pool": true}

// spooled has been made of standard input for a command, to be taken away at the end.
var spooled string

// TakeStandardInput puts a file in the place of a - among the arguments.
func TakeStandardInput(cmd *cobra.Command, args []string) error {
	if !ReadsFiles[cmd.Name()] {
		return nil
	}
	for i, a := range args {
		switch {
		case a != textfile.StandardInput:
			continue
		case cmd.Name() == "label" && (cmd.Flags().Changed("read") || cmd.Flags().Changed("temp") || cmd.Flags().Changed("by")):
			return remedy.Call(errors.New("a reading is written into the journal, which standard input is not"), "name the file of the journal")
		case spooled != "":
			return remedy.Call(errors.New("standard input can be read once"), "use - for one file only, and name the others")
		}
		path, err := spool(cmd.InOrStdin(), textfile.MaxLog)
		if err != nil {
			return err
		}
		spooled, args[i] = filepath.Dir(path), path
	}
	return nil
}

// Shown is the name of a file as a person is told it: what was made of standard input has
// the name of that.
func Shown(path string) string {
	if spooled != "" && filepath.Dir(path) == spooled {
		return filepath.Base(path)
	}
	return path
}

// DropSpooled takes away what was made of standard input.
func DropSpooled() {
	if spooled != "" {
		os.RemoveAll(spooled)
		spooled = ""
	}
}
