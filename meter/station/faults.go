package station

import (
	"errors"
	"fmt"
	"io"
	"strconv"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/sim"
)

// teachersFaults are the faults that a teacher can let loose, in the order of their
// numbers.
func teachersFaults() []sim.FaultKind {
	return phrase.Only(sim.Faults(), func(k sim.FaultKind) bool { return !k.Person })
}

// listLoose lists them, with a mark at those that are at work.
func listLoose(w io.Writer, b *sim.Bench) {
	for i, k := range teachersFaults() {
		mark := " "
		if b.Ails(k.Name) {
			mark = "*"
		}
		fmt.Fprintf(w, " %s%2d  %-14s %s\n", mark, i+1, k.Name, k.Title)
	}
}

// faultBy is the fault of a number or a name.
func faultBy(text string) (sim.FaultKind, error) {
	list := teachersFaults()
	if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(list) {
		return list[n-1], nil
	}
	for _, k := range list {
		if k.Name == text {
			return k, nil
		}
	}
	return sim.FaultKind{}, fmt.Errorf("no fault is called %q; f lists them with their numbers", text)
}

// loose lets a fault loose.
func (t *Station) loose(text string) (string, error) {
	k, err := faultBy(text)
	if err == nil {
		err = t.Bench.Inflict(k.Name)
	}
	if err != nil {
		return "", err
	}
	return "from now on: " + k.Title, nil
}

// mend puts a fault right.
func (t *Station) mend(text string) (string, error) {
	k, err := faultBy(text)
	switch {
	case err != nil:
		return "", err
	case t.Bench.Mend(k.Name):
		return "put right: " + k.Title, nil
	case t.Bench.Ails(k.Name):
		return "", errors.New(k.Title + " cannot be put right during a run")
	}
	return "", errors.New(k.Title + " is not active")
}
