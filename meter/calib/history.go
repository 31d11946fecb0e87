package calib

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// Encode is a calibration as one line of JSON, its line feed included.
func (c Calibration) Encode() ([]byte, error) {
	b, err := json.Marshal(c)
	if err != nil {
		return nil, fmt.Errorf("calib: %w", err)
	}
	return append(b, '\n'), nil
}

// History are calibrations in the order in which they were made.
type History struct {
	List []Calibration
	Bad  []int // numbers of the lines that could not be read
}

// maxLine is the longest line of a history, bytes.
const maxLine = 1 << 20

// ReadHistory reads the lines that Encode wrote. A line that cannot be read is
// passed over and its number noted; the error is that of the stream.
func ReadHistory(r io.Reader) (History, error) {
	var h History
	s := bufio.NewScanner(r)
	s.Buffer(nil, maxLine)
	for n := 1; s.Scan(); n++ {
		line := bytes.TrimSpace(s.Bytes())
		if len(line) == 0 {
			continue
		}
		var c Calibration
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

// Of are the calibrations of an electrode.
func (h History) Of(electrode string) []Calibration {
	var out []Calibration
	for _, c := range h.List {
		if c.Electrode == electrode {
			out = append(out, c)
		}
	}
	return out
}

// Electrodes are the electrodes in the order in which they first appear.
func (h History) Electrodes() []string {
	var out []string
	seen := map[string]bool{}
	for _, c := range h.List {
		if !seen[c.Electrode] {
			seen[c.Electrode] = true
			out = append(out, c.Electrode)
		}
	}
	return out
}

// Latest is the last calibration of an electrode.
func (h History) Latest(electrode string) (Calibration, bool) {
	list := h.Of(electrode)
	if len(list) == 0 {
		return Calibration{}, false
	}
	return list[len(list)-1], true
}

// WriteTable writes the calibrations as a table for people.
func WriteTable(w io.Writer, list []Calibration) error {
	t := tabwriter.NewWriter(w, 0, 8, 2, ' ', 0)
	fmt.Fprintln(t, "when\t°C\tstandards\tslope %\toffset mV\ttau s\tverdict")
	for _, c := range list {
		names := make([]string, len(c.Points))
		for i, p := range c.Points {
			names[i] = p.label()
		}
		slope, offset, words := fmt.Sprintf("%.1f", c.SlopePct), fmt.Sprintf("%+.1f", tenth(c.OffsetMV)), c.Verdict.Words()
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
