package practice

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
)

// Row is one journal in the table of a class.
type Row struct {
	File string
	Result
	Flags []string // what a teacher has to know; empty when all is well
}

// Class is the table of a folder of journals.
type Class struct {
	Rows   []Row // by exercise, then by points, the best first
	Others int   // journals that are no practice
}

// ReadClass judges every journal in a folder. A journal that cannot be judged
// is a row with its flag; nothing is passed over in silence. progress is told
// after each file and may be nil.
func ReadClass(folder string, progress func(done, total int)) (Class, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.jsonl"))
	if err != nil {
		return Class{}, fmt.Errorf("practice: %w", err)
	}
	if _, err := os.Stat(folder); err != nil {
		return Class{}, fmt.Errorf("practice: %w", err)
	}
	var c Class
	sums := map[string]string{}
	for i, path := range files {
		row, ok := readRow(path, sums)
		if ok {
			c.Rows = append(c.Rows, row)
		} else {
			c.Others++
		}
		if progress != nil {
			progress(i+1, len(files))
		}
	}
	slices.SortStableFunc(c.Rows, func(a, b Row) int {
		return cmp.Or(cmp.Compare(a.Exercise, b.Exercise), -cmp.Compare(a.Points, b.Points), cmp.Compare(a.File, b.File))
	})
	return c, nil
}

// readRow judges one file; false when it is no practice. sums are the last
// sums of the files before it.
func readRow(path string, sums map[string]string) (Row, bool) {
	row := Row{File: filepath.Base(path)}
	check, err := journal.CheckFile(path)
	if err != nil {
		row.flag("cannot be read: %v", err)
		return row, true
	}
	if check.Start != nil && len(check.Start.Practice) == 0 {
		return row, false
	}
	if !check.Sound() {
		row.flag("changed after it was written: %s", check.Faults[0])
	}
	if twin, ok := sums[check.Sum]; ok && check.Sum != "" {
		row.flag("the same journal as %s", twin)
	} else if check.Sound() {
		sums[check.Sum] = row.File
	}
	if !check.Ended {
		row.flag("the run was not ended")
	}
	r, err := replay.Open(path)
	if err != nil {
		if check.Start != nil {
			row.Operator = check.Start.Operator
			if s, err := SlipOf(journal.Event{Start: check.Start}); err == nil {
				row.Exercise, row.Title, row.Seed, row.Coach = s.Exercise, s.Exercise, s.Seed, s.Coach
			}
		}
		row.flag("cannot be judged: %s", strings.TrimPrefix(err.Error(), "replay: "))
		return row, true
	}
	row.judge(r)
	return row, true
}

func (row *Row) judge(r *replay.Run) {
	res, err := Judge(r)
	if err != nil {
		row.flag("cannot be judged: %v", err)
		return
	}
	row.Result = res
	slip, err := SlipOf(r.First)
	if err != nil {
		return
	}
	e, err := slip.Open()
	if err != nil {
		return
	}
	if known, err := Find(e.Name); err == nil && known.Digest != e.Digest {
		row.flag("the exercise %s is not the one of this program: another version, or changed", e.Name)
	} else if errors.Is(err, ErrNone) {
		row.flag("an exercise of your own: compare its digest %s", e.Digest)
	}
	if share := e.genuine(r, slip); share < sameShare {
		row.flag("only %.0f %% of the readings are those of its bench", 100*share)
	}
}

func (row *Row) flag(format string, a ...any) {
	row.Flags = append(row.Flags, fmt.Sprintf(format, a...))
}
