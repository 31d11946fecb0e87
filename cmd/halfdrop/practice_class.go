package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"example.org/halfdrop/meter/practice"
)

// class prints the table of a folder of journals.
func (f *practiceFlags) class(out io.Writer) error {
	c, err := practice.ReadClass(f.results, nil)
	if err != nil {
		return withHint(err, "name the folder that holds the journals of the class")
	}
	if len(c.Rows) == 0 {
		return withHint(fmt.Errorf("no practice run in %s", f.results), "journals of practice end in .jsonl and lie in the folder itself")
	}
	if f.html != "" {
		if err := writePage(f.html, c); err != nil {
			return err
		}
	}
	write := c.WriteText
	if f.csv {
		write = c.WriteCSV
	}
	if err := write(out); err != nil {
		return err
	}
	flagged := 0
	for _, r := range c.Rows {
		if len(r.Flags) > 0 {
			flagged++
		}
	}
	if flagged > 0 {
		return &exitError{code: exitDamaged, err: fmt.Errorf("%d of %d journals are flagged", flagged, len(c.Rows)),
			hints: []string{"halfdrop check FILE names every fault of a journal"}}
	}
	return nil
}

// writePage writes the table as a page; what is there already is replaced.
func writePage(path string, c practice.Class) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(c.WriteHTML(f), f.Close())
}
