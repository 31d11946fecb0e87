package amount

import (
	"errors"
	"fmt"
	"io"
	"math"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/pool"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/textfile"
	"example.org/halfdrop/tui/past"
)

// errNoAnswer is said of a run that does not look for an amount.
var errNoAnswer = errors.New("the run does not determine an amount")

// Pool says what several runs have found together.
func Pool(w io.Writer, paths []string, asJSON bool) error {
	var list []pool.Value
	var first *view.Finding
	rows := w
	if asJSON {
		rows = io.Discard
	}
	t := phrase.Columns(rows)
	shared := 0.0
	for _, path := range paths {
		r, err := past.Open(path)
		if err != nil {
			return err
		}
		end := r.End()
		f := end.Finding(end.T)
		switch {
		case f == nil:
			return remedy.With(fmt.Errorf("%s: %w", path, errNoAnswer), "only runs of plans with [find] can be pooled")
		case first == nil:
			first = f
		case f.What != first.What || f.Name != first.Name:
			return remedy.With(fmt.Errorf("%s: %s, where the first run is about %s", path, f.Name, first.Name), "pool runs of one bottle, or of one sample")
		}
		value, sd := f.Value, f.SD
		if f.What == find.Amount && f.Molar > 0 {
			value, sd = f.Molar, f.MolarSD
		}
		shared = math.Max(shared, value*f.Common())
		list = append(list, pool.Value{Name: path, Value: value, SD: sd})
		note := ""
		if !f.Reached() {
			note = "  not as certain as wanted"
		}
		fmt.Fprintf(t, "%s\t%s%s\n", path, view.Spread(value, sd, ""), note)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	p, err := pool.Repeats(list, shared)
	if err != nil {
		return err
	}
	unit := "mol/L"
	if first.What != find.Strength && first.Molar == 0 {
		unit = "mol"
	}
	if asJSON {
		return writePoolJSON(w, first.Name, unit, list, p)
	}
	fmt.Fprintf(w, "%s: mean of %d %s, 95 %% interval %.5g to %.5g; of which %.2g %% is shared by all\n", first.Name, p.N, view.Spread(p.Mean, p.Total, unit), p.Low, p.High, 100*p.Shared/p.Mean)
	if p.N > 1 {
		fmt.Fprintf(w, "the repeats scatter by %.2g %%; each claims %.2g %%\n", 100*p.SD/p.Mean, 100*p.Claim/p.Mean)
	}
	if p.Suspect >= 0 {
		word := "no outlier"
		if p.Outlier() {
			word = "OUTLIER: " + list[p.Suspect].Name + " (it is included in the mean; look for its cause, then pool without it)"
		}
		fmt.Fprintf(w, "Grubbs' test, 5 %%: G = %.3f of %s, critical %.3f: %s\n", p.G, list[p.Suspect].Name, p.Critical, word)
	}
	return nil
}

// writePoolJSON is a pool of repeats in JSON; what one value cannot say is left out.
func writePoolJSON(out io.Writer, of, unit string, list []pool.Value, p pool.Pooled) error {
	runs := []map[string]any{}
	for _, v := range list {
		runs = append(runs, map[string]any{"run": v.Name, "value": v.Value, "sd": v.SD})
	}
	all := map[string]any{"of": of, "unit": unit, "runs": runs, "n": p.N, "mean": p.Mean, "sd": p.Total, "low": p.Low, "high": p.High, "level": p.Level, "shared": p.Shared, "claim": p.Claim}
	if !math.IsNaN(p.SD) {
		all["scatter"] = p.SD
	}
	if p.Suspect >= 0 {
		all["grubbs"] = map[string]any{"g": p.G, "critical": p.Critical, "run": list[p.Suspect].Name, "outlier": p.Outlier()}
	}
	return textfile.JSON(out, all)
}
