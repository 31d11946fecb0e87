package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/shelf"
)

// showResult writes the result with every limit and what it rests on.
func showResult(w io.Writer, c calib.Calibration) {
	fmt.Fprintln(w, c.Summary())
	for _, p := range c.Points {
		value := ""
		if p.MV != nil {
			value = fmt.Sprintf("%.1f mV", *p.MV)
		}
		if p.Shown != nil {
			value += fmt.Sprintf(" shown %.3f", *p.Shown)
		}
		source := ""
		if s, err := calib.Find(p.Standard, p.Set); err == nil {
			source = s.Source(chem.Celsius(p.TempC))
		}
		fmt.Fprintf(w, "  %-6s pH %.3f at %.1f °C  %s  [%s]\n", p.Standard, p.PH, p.TempC, value, source)
	}
	for _, f := range c.Findings {
		fmt.Fprintf(w, "  %-6s %s\n", f.Level, f.Text)
		if f.Basis != "" {
			fmt.Fprintf(w, "         (%s)\n", f.Basis)
		}
	}
	if c.Override != "" {
		fmt.Fprintf(w, "  used all the same: %s\n", c.Override)
	}
}

// historyPath is the file in which calibrations are kept.
func (c *calibration) historyPath() (string, error) {
	if c.file != "" {
		return c.file, nil
	}
	runs, err := journal.DefaultFolder()
	if err != nil {
		return "", withHint(err, "name a file with --file")
	}
	return filepath.Join(filepath.Dir(runs), "calibrations.jsonl"), nil
}

// keep adds the result to the history and says how the electrode changes.
// What was simulated is kept only in a file that was named.
func (c *calibration) keep(talk io.Writer, result calib.Calibration) error {
	if c.sim && c.file == "" {
		fmt.Fprintln(talk, "halfdrop: not kept, it was the simulated electrode")
		return nil
	}
	path, err := c.historyPath()
	if err != nil {
		return err
	}
	if err := shelf.AppendHistory(path, result); err != nil {
		return withHint(fmt.Errorf("the calibration could not be kept: %w", err), "name another file with --file")
	}
	fmt.Fprintln(talk, "halfdrop: kept in "+path)
	h, err := shelf.LoadHistory(path)
	if err != nil {
		return err
	}
	if trend, err := calib.TrendOf(h.Of(c.electrode)); err == nil {
		for _, s := range trend.Words() {
			fmt.Fprintln(talk, "halfdrop: "+s)
		}
	}
	return nil
}

// showHistory writes the calibrations of one electrode, or of each.
func (c *calibration) showHistory(out, talk io.Writer) error {
	path, err := c.historyPath()
	if err != nil {
		return err
	}
	h, err := shelf.LoadHistory(path)
	if err != nil {
		return err
	}
	for _, n := range h.Bad {
		fmt.Fprintf(talk, "halfdrop: %s, line %d cannot be read and is left out\n", path, n)
	}
	names := h.Electrodes()
	switch found, near := h.Find(c.electrode); {
	case len(h.List) == 0:
		fmt.Fprintf(talk, "halfdrop: no calibration is kept in %s\n", path)
		return nil
	case c.electrode != "" && found == "":
		fmt.Fprintf(talk, "halfdrop: none of the %d calibrations in %s is of electrode %s; there are %s\n", len(h.List), path, c.electrode, strings.Join(h.Named(), ", "))
		if len(near) > 0 {
			fmt.Fprintf(talk, "halfdrop: is it %s?\n", strings.Join(near, " or "))
		}
		return nil
	case found != "":
		names = []string{found}
	}
	if c.asJSON {
		return writeHistoryJSON(out, h, names)
	}
	for i, name := range names {
		if i > 0 {
			fmt.Fprintln(out)
		}
		title := "electrode " + name
		if name == "" {
			title = "electrode without a name"
		}
		fmt.Fprintln(out, title)
		if err := calib.WriteTable(out, h.Of(name)); err != nil {
			return err
		}
		trend, err := calib.TrendOf(h.Of(name))
		if err != nil {
			fmt.Fprintln(out, err.Error())
			continue
		}
		for _, s := range trend.Words() {
			fmt.Fprintln(out, s)
		}
	}
	return nil
}
