package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/tui"
)

// class prints the table of a folder of journals, or the page of a pupil.
func (f *practiceFlags) class(out, talk io.Writer) error {
	c, err := practice.ReadClass(f.results, reading(talk))
	if err != nil {
		return withHint(err, "name the folder that holds the journals of the class")
	}
	if len(c.Rows) == 0 {
		return withHint(fmt.Errorf("no practice run in %s", f.results), "journals of practice end in .jsonl, in the folder or in those below it")
	}
	if f.html != "" {
		if err := writePage(f.html, c); err != nil {
			return err
		}
	}
	out = intake.NewWriter(out)
	write, only := c.WriteText, ""
	if f.csv {
		write = c.WriteCSV
	}
	if f.pupil != "" {
		p, err := pupilOf(c, f.pupil)
		if err != nil {
			return err
		}
		write = p.WriteText
		only = p.Who
	}
	if f.json {
		write = func(w io.Writer) error { return writeClassJSON(w, c, only) }
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
		return &remedy.Error{Kind: remedy.Damaged, Err: fmt.Errorf("%d of %d journals are flagged", flagged, len(c.Rows)),
			Hints: []string{"halfdrop check FILE names every fault of a journal"}}
	}
	return nil
}

// pupilOf finds a pupil by name, whatever the case.
func pupilOf(c practice.Class, name string) (practice.Pupil, error) {
	var names []string
	for _, p := range c.Pupils() {
		if strings.EqualFold(p.Who, name) {
			return p, nil
		}
		names = append(names, p.Who)
	}
	return practice.Pupil{}, usageError(fmt.Errorf("no pupil in the folder is called %q", name), "there are "+strings.Join(names, ", "))
}

// reading tells how far the reading of a class has come: in place on a terminal,
// elsewhere now and then in a line.
func reading(talk io.Writer) func(done, total int) {
	here, last := tui.IsTerminal(talk), time.Now()
	return func(done, total int) {
		switch {
		case here && done == total:
			fmt.Fprint(talk, "\r\033[K")
		case here:
			fmt.Fprintf(talk, "\rreading %d of %d journals", done, total)
		case time.Since(last) > 5*time.Second:
			last = time.Now()
			fmt.Fprintf(talk, "halfdrop: read %d of %d journals\n", done, total)
		}
	}
}

// writePage writes the table as a page; what is there already is replaced.
func writePage(path string, c practice.Class) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(c.WriteHTML(f), f.Close())
}
