package bench

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/textfile"
)

// WriteText says what is known, how surely and from which runs.
func WriteText(w io.Writer, b Book, now time.Time) error {
	known := b.Known(now)
	if len(known) == 0 && len(b.Stated) == 0 && !hasElectrode(b) {
		_, err := fmt.Fprintln(w, "nothing is known yet: runs teach when bottles, droppers and the electrode have names")
		return err
	}
	t := phrase.Columns(w)
	drops := slices.DeleteFunc(slices.Clone(known), func(k Known) bool { return k.ByML })
	if len(drops) > 0 {
		fmt.Fprint(t, "dropper\tbottle\tof\tmol/L\tµL\tµmol a drop\t± %\tof the labels\truns\tlast\n")
	}
	for _, k := range drops {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%.3f\t%d\t%s\n", orIts(k.Dropper), k.Bottle, k.Reagent, chem.Digits(k.Molar, 4), chem.Digits(k.DropUL, 3),
			chem.Digits(k.Umol, 4), chem.Digits(k.SDPct, 2), k.Umol/(k.Molar*k.DropUL), k.Runs, k.Last.Format(time.DateOnly))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if len(drops) > 0 {
		fmt.Fprintln(w, "\nReadings show what a drop brings, not its size and the strength by themselves. As far as the two can be told apart:")
	}
	for _, k := range drops {
		fmt.Fprintf(w, "  %s with %s: %s µL ± %s %%, %s mol/L ± %s %%\n", orIts(k.Dropper), k.Bottle, chem.Digits(k.ULNow, 3), chem.Digits(k.ULSDPct, 2), chem.Digits(k.MolarNow, 4), chem.Digits(k.MolarSDPct, 2))
	}
	for _, k := range known {
		if k.ByML {
			fmt.Fprintf(w, "in mL: bottle %s, %s %s mol/L by its label, brings %s mol/L ± %s %% (%s, last %s)\n", k.Bottle, k.Reagent, chem.Digits(k.Molar, 4),
				chem.Digits(k.Umol/k.DropUL, 4), chem.Digits(k.SDPct, 2), phrase.Counted(k.Runs, "run"), k.Last.Format(time.DateOnly))
		}
	}
	for _, s := range b.Stated {
		sd, carbon, carbonSD := s.Aged(now)
		fmt.Fprintf(w, "found or stated: bottle %s %s mol/L ± %s %% on %s, by now ± %s %%", s.Bottle, chem.Digits(s.Molar, 5), chem.Digits(s.SDPct, 2), s.At.Format(time.DateOnly), chem.Digits(sd, 2))
		if carbonSD > 0 {
			fmt.Fprintf(w, ", with %s ± %s %% of carbonate", chem.Digits(carbon, 2), chem.Digits(carbonSD, 2))
		}
		fmt.Fprintln(w)
	}
	if len(known)+len(b.Stated) > 0 && len(b.Runs) > 0 {
		fmt.Fprintln(w)
	}
	showRuns(w, b)
	fmt.Fprintf(w, "\nAge widens all this: a drop by %g %% in the root of a month, and %g %% each time the dropper is taken up; a strength by %g %%. An electrode is half forgotten in %g days.\n",
		100*dropWalk, 100*session, 100*bottleWalk, electrodeHalf)
	for _, c := range b.Contradictions() {
		fmt.Fprintln(w, "note: "+c)
	}
	return nil
}

func hasElectrode(b Book) bool {
	for _, r := range b.Runs {
		if r.Electrode != nil {
			return true
		}
	}
	return false
}

func orIts(dropper string) string {
	if dropper == "" {
		return "its own"
	}
	return dropper
}

// showRuns lists what each run has shown.
func showRuns(w io.Writer, b Book) {
	if len(b.Runs) > 0 {
		fmt.Fprintln(w, "from these runs:")
	}
	for _, r := range b.Runs {
		fmt.Fprintf(w, "  %s  %s", r.At.Format("2006-01-02 15:04"), r.Plan)
		for _, d := range r.Drops {
			if d.ByML {
				fmt.Fprintf(w, "; %s %s mol/L in mL", d.Bottle, chem.Digits(d.Umol/d.DropUL, 4))
				continue
			}
			fmt.Fprintf(w, "; %s with %s %s µmol a drop", orIts(d.Dropper), d.Bottle, chem.Digits(d.Umol, 4))
		}
		if e := r.Electrode; e != nil {
			fmt.Fprintf(w, "; electrode %s, time constant %s s", e.Name, chem.Digits(e.TauS, 2))
		}
		if r.Journal != "" {
			fmt.Fprintf(w, "  (%s)", filepath.Base(r.Journal))
		}
		fmt.Fprintln(w)
	}
}

// WriteJSON writes what is known as one JSON object.
func WriteJSON(out io.Writer, b Book, now time.Time) error {
	type electrode struct {
		Name string    `json:"name"`
		TauS float64   `json:"tau_s"`
		At   time.Time `json:"at"`
	}
	electrodes := []electrode{}
	for _, r := range b.Runs {
		if e := r.Electrode; e != nil {
			electrodes = append(electrodes, electrode{e.Name, e.TauS, r.At})
		}
	}
	return textfile.JSON(out, map[string]any{"drops": append([]Known{}, b.Known(now)...), "stated": append([]Stated{}, b.Stated...), "electrodes": electrodes,
		"notes": append([]string{}, b.Contradictions()...)})
}
