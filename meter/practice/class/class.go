package class

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/replay"
)

// Row is one journal in the table of a class.
type Row struct {
	File string
	score.Result
	Attempt int      // of this pupil at this exercise, from 1
	Flags   []string // what a teacher has to know; empty when all is well

	sum   string // of the last line, empty when the journal is not sound
	print print
}

// Who is the pupil of a row, or its file when nobody is named.
func (r Row) Who() string { return cmp.Or(r.Operator, r.File) }

// Class is the table of a folder of journals.
type Class struct {
	Rows   []Row // by exercise, then by points, the best first
	Others int   // journals that are no practice
}

// ReadClass judges every journal in a folder and in those below it, several at a
// time; a file is called by its path from there. A journal that
// cannot be judged is a row with its flag; nothing is passed over in silence.
// progress is told after each file and may be nil.
func ReadClass(folder string, progress func(done, total int)) (Class, error) {
	files, err := journalsIn(folder)
	if err != nil {
		return Class{}, fmt.Errorf("class: %w", err)
	}
	rows, ok := make([]Row, len(files)), make([]bool, len(files))
	free, done := make(chan struct{}, runtime.GOMAXPROCS(0)), make(chan struct{})
	for i, name := range files {
		go func() {
			free <- struct{}{} // so many at a time
			rows[i], ok[i] = readRow(folder, name)
			<-free
			done <- struct{}{}
		}()
	}
	for n := range files {
		<-done
		if progress != nil {
			progress(n+1, len(files))
		}
	}
	var c Class
	for i, row := range rows {
		if ok[i] {
			c.Rows = append(c.Rows, row)
		} else {
			c.Others++
		}
	}
	c.copies()
	c.attempts()
	slices.SortStableFunc(c.Rows, func(a, b Row) int {
		return cmp.Or(cmp.Compare(a.Exercise, b.Exercise), -cmp.Compare(a.Points, b.Points), cmp.Compare(a.File, b.File))
	})
	return c, nil
}

// journalsIn are the files that end in .jsonl, by their paths from the folder. What
// begins with a dot is passed over.
func journalsIn(folder string) (files []string, err error) {
	err = filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case path != folder && strings.HasPrefix(d.Name(), "."):
			if d.IsDir() {
				return filepath.SkipDir
			}
		case !d.IsDir() && filepath.Ext(path) == ".jsonl":
			var name string
			name, err = filepath.Rel(folder, path)
			files = append(files, name)
		}
		return err
	})
	return files, err
}

// attempts numbers the runs of each pupil at each exercise in their order.
func (c *Class) attempts() {
	var order []*Row
	for i := range c.Rows {
		order = append(order, &c.Rows[i])
	}
	slices.SortStableFunc(order, func(a, b *Row) int { return a.Begun.Compare(b.Begun) })
	seen, numbers := map[string]int{}, map[string]int{}
	for _, r := range order {
		key := r.Who() + "\x00" + r.Exercise
		run := key + "\x00" + r.Begun.String() // handed in twice it is one attempt
		if numbers[run] == 0 {
			seen[key]++
			numbers[run] = seen[key]
		}
		r.Attempt = numbers[run]
	}
}

// NotEnded is the flag of a run that its pupil left: nothing is wrong with its journal.
const NotEnded = "the run was not ended"

// readRow judges one file; false when it is no practice.
func readRow(folder, name string) (Row, bool) {
	row, path := Row{File: name}, filepath.Join(folder, name)
	check, err := journal.CheckFile(path)
	if err != nil {
		row.flag("cannot be read: %v", phrase.Plain(err))
		return row, true
	}
	if check.Start != nil && len(check.Start.Practice) == 0 {
		return row, false
	}
	if check.Start == nil && check.Events == 0 && len(check.Faults) > 0 {
		row.flag("no journal: %s", check.Faults[0].Text)
		return row, true
	}
	switch faults := check.Faults; {
	case check.Sound():
		row.sum = check.Sum
	case check.Torn && len(faults) == 1: // no hand does that to a file
		row.flag("its last line is torn, as by a power cut: what comes before it is judged")
	case check.Saved && len(faults) > 1: // the one that counts
		row.flag("changed after it was written: %s", faults[1])
	default:
		row.flag("changed after it was written: %s", faults[0])
	}
	if !check.Ended {
		row.flag(NotEnded)
	}
	r, err := replay.Open(path)
	if err != nil {
		if check.Start != nil {
			row.Operator = check.Start.Operator
			if s, err := practice.SlipOf(journal.Event{Start: check.Start}); err == nil {
				row.Exercise, row.Title, row.Seed, row.Coach = s.Exercise, s.Exercise, s.Seed, s.Coach
			}
		}
		why := strings.TrimPrefix(strings.TrimPrefix(phrase.Plain(err).Error(), path+": "), "journal: ")
		if !check.Sound() {
			why = "nothing of it is sound"
		}
		row.flag("cannot be judged: %s", why)
		return row, true
	}
	row.judge(r)
	row.print = printOf(r)
	return row, true
}

func (row *Row) judge(r *replay.Run) {
	res, err := score.Judge(r)
	if err != nil {
		row.flag("cannot be judged: %v", phrase.Plain(err))
		return
	}
	row.Result = res
	slip, err := practice.SlipOf(r.First)
	if err != nil {
		return
	}
	e, err := slip.Open()
	if err != nil {
		return
	}
	if known, err := practice.Find(e.Name); err == nil && known.Digest != e.Digest {
		row.flag("the exercise %s is not this program's: another version, or changed", e.Name)
	} else if errors.Is(err, practice.ErrNone) {
		row.flag("an exercise of your own: compare its digest %s", e.Digest)
	}
	if why := e.Strange(r, slip); why != "" {
		row.flag("%s", why)
	}
}

func (row *Row) flag(format string, a ...any) {
	row.Flags = append(row.Flags, fmt.Sprintf(format, a...))
}
