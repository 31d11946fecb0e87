package records

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/phrase"
)

// History are calibrations in the order in which they were made.
type History struct {
	List []calib.Calibration
	Bad  []int // numbers of the lines that could not be read
}

// maxLine is the longest line of a history, bytes.
const maxLine = 1 << 20

// Read reads the lines that Encode wrote. A line that cannot be read is
// passed over and its number noted; the error is that of the stream.
func Read(r io.Reader) (History, error) {
	var h History
	s := bufio.NewScanner(r)
	s.Buffer(nil, maxLine)
	for n := 1; s.Scan(); n++ {
		line := bytes.TrimSpace(s.Bytes())
		if len(line) == 0 {
			continue
		}
		var c calib.Calibration
		if err := json.Unmarshal(line, &c); err != nil || c.At.IsZero() || len(c.Points) == 0 {
			h.Bad = append(h.Bad, n)
			continue
		}
		h.List = append(h.List, c)
	}
	if err := s.Err(); err != nil {
		return h, fmt.Errorf("calib: history: %w", err)
	}
	return h, nil
}

// Of are the calibrations of an electrode, however its name was written.
func (h History) Of(electrode string) []calib.Calibration {
	return phrase.Only(h.List, func(c calib.Calibration) bool { return calib.SameName(c.Electrode, electrode) })
}

// Electrodes are the electrodes in the order in which they first appear.
func (h History) Electrodes() []string {
	var out []string
	seen := map[string]bool{}
	for _, c := range h.List {
		if key := calib.Alike(c.Electrode); !seen[key] {
			seen[key] = true
			out = append(out, c.Electrode)
		}
	}
	return out
}

// Named are the names of the electrodes that have one.
func (h History) Named() []string {
	return slices.DeleteFunc(h.Electrodes(), func(name string) bool { return name == "" })
}

// Find is the name of an electrode as the history writes it, whatever the case of
// the letters. Without one it is empty, and near are names that look like it.
func (h History) Find(name string) (found string, near []string) {
	if name == "" {
		return "", nil
	}
	for _, known := range h.Named() {
		switch {
		case calib.SameName(known, name):
			return known, nil
		case phrase.Slips(calib.Alike(known), calib.Alike(name)) <= 1+len(name)/5:
			near = append(near, known)
		}
	}
	return "", near
}

// Current is what an electrode is used with: the latest calibration that may be
// used, and the latest check of a meter that calibrates itself. One that was
// refused takes the place of none; with it the latest of that kind is a check, when
// no other is there, so that it can be said what it found.
func (h History) Current(electrode string) (line, check *calib.Calibration) {
	for _, c := range h.Of(electrode) {
		switch {
		case c.Checks():
			if check == nil || c.Usable() || !check.Usable() {
				check = &c
			}
		case line == nil || c.Usable() || !line.Usable():
			line = &c
		}
	}
	return line, check
}

// refused are the attempts at an electrode after a time that came to nothing.
func (h History) refused(electrode string, after time.Time) []calib.Calibration {
	return phrase.Only(h.Of(electrode), func(c calib.Calibration) bool { return !c.Usable() && c.At.After(after) })
}

// WriteTable writes the calibrations as a table for people.
func WriteTable(w io.Writer, list []calib.Calibration) error {
	t := phrase.Columns(w)
	fmt.Fprintln(t, "when\t°C\tstandards\tslope %\toffset mV\ttau s\tverdict")
	for _, c := range list {
		names := phrase.Each(c.Points, func(p calib.Point) string { return p.Label() })
		slope, offset, words := fmt.Sprintf("%.1f", c.SlopePct), fmt.Sprintf("%+.1f", calib.Tenth(c.OffsetMV)), c.Verdict.Words()
		if c.Checks() {
			slope, offset, words = "-", "-", "check: "+words
		}
		if c.Override != "" {
			words += ", used all the same: " + c.Override
		}
		tau := "-"
		if c.TauS > 0 {
			tau = fmt.Sprintf("%.1f", c.TauS)
		}
		fmt.Fprintf(t, "%s\t%.1f\t%s\t%s\t%s\t%s\t%s\n", c.At.Format("2006-01-02 15:04"), c.TempC, strings.Join(names, " "), slope, offset, tau, words)
	}
	return t.Flush()
}

// For is what is known of the electrode of a use, the calibration and the check of a
// meter that calibrates itself, and what is to be said of them: of the calibration
// when there is one. Without either the finding is Uncalibrated.
func (h History) For(u calib.Use) (line, check *calib.Calibration, findings []calib.Finding) {
	line, check = h.Current(u.Electrode)
	c := cmp.Or(line, check)
	if c == nil {
		return nil, nil, []calib.Finding{calib.Uncalibrated(false, false)}
	}
	findings = c.For(u)
	if list := h.refused(u.Electrode, c.At); c.Usable() && len(list) > 0 {
		last := list[len(list)-1]
		findings = append(findings, calib.Finding{Code: calib.CodeRefused, Level: calib.Remark, Basis: calib.BasisLater,
			Text: fmt.Sprintf("the calibration of %s is used; a later one, of %s, was not accepted: %s", c.At.Format("2006-01-02 15:04"), last.At.Format("2006-01-02 15:04"), last.Summary())})
	}
	return line, check, findings
}
