package trial

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strings"

	"example.org/halfdrop/meter/phrase"
)

// kind is the code of a mistake without the names of reagents and bottles.
func kind(code string) string {
	parts := strings.Split(code, ":")
	if parts[0] == "stock" && len(parts) == 3 || parts[0] == "amount" {
		return parts[0] + " × " + parts[len(parts)-1]
	}
	return strings.ReplaceAll(parts[0], "_", " ")
}

// WriteText writes the table for people, in 80 columns.
func (t Table) WriteText(w io.Writer) error {
	fmt.Fprintln(w, benches(t.Runs, t.Tier, t.Seed, ""))
	fmt.Fprint(w, "per cent of the runs; additions and seconds: mean, median, 95th percentile\n\n")
	tw := phrase.Figures(w)
	fmt.Fprintln(tw, "strategy\tinside\tpast\tback\tstuck\tadditions\t\t\tseconds\t\t\t")
	for _, r := range t.Rows {
		fmt.Fprintf(tw, "%s\t%s\t%s\t%s\t%s\t%.2f\t%.0f\t%.0f\t%.0f\t%.0f\t%.0f\t\n", r.Strategy.Name,
			tenths(r.In), tenths(r.Over), tenths(r.Back), tenths(r.GaveUp), r.Adds.Mean, r.Adds.Median, r.Adds.P95,
			r.Seconds.Mean, r.Seconds.Median, r.Seconds.P95)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w)
	for _, r := range t.Rows {
		fmt.Fprintf(w, "%s: %s\n", r.Strategy.Name, strings.TrimPrefix(r.Strategy.Title, "the limit: "))
	}
	for _, r := range t.Rows {
		if r.Coached {
			fmt.Fprintf(w, "\n%s: a false alarm on %s of sound benches; of mistakes %s named,\n%s rightly, %s among others, %s that or as one with its like\n",
				r.Strategy.Name, percent(r.False), percent(r.Named), percent(r.Right), percent(r.Among), percent(r.Said))
		}
	}
	for _, r := range t.Rows {
		if r.Typed.Max > 0 {
			fmt.Fprintf(w, "\n%s: %.1f values typed a bench (median %.0f, 95 %% %.0f), %d of them queried\n", r.Strategy.Title, r.Typed.Mean, r.Typed.Median, r.Typed.P95, r.Asked)
		}
	}
	for _, r := range t.Rows {
		if r.Coached {
			r.Confused.write(w, r.Strategy.Title)
		}
	}
	return nil
}

// benches says which they were.
func benches(runs int, tier Tier, seed uint64, how string) string {
	return fmt.Sprintf("%d %s benches%s, seeds %d to %d, tolerance ±%g", runs, tier, how, seed, seed+uint64(max(runs, 1))-1, tolerance)
}

// tenths is a share in per cent.
func tenths(x float64) string {
	if math.IsNaN(x) {
		return "–"
	}
	return fmt.Sprintf("%.1f", 100*x)
}

// percent is that with its unit.
func percent(x float64) string {
	if math.IsNaN(x) {
		return tenths(x)
	}
	return tenths(x) + " %"
}

// write prints what was named first, a line for each true mistake.
func (c Confusion) write(w io.Writer, title string) {
	fmt.Fprintf(w, "\nwhat %s named first, by what was wrong:\n", strings.TrimPrefix(title, "the limit: "))
	for g := Sound; g < grossCount; g++ {
		if len(c[g]) == 0 {
			continue
		}
		var parts []string
		for _, n := range counted(c[g]) {
			parts = append(parts, fmt.Sprintf("%s %d", n.Name, n.Times))
		}
		fmt.Fprintf(w, "  %-18s %s\n", g, strings.Join(parts, ", "))
	}
}

// WriteFailures lists the benches of coached strategies that went wrong, up to
// most a row, by seed.
func (t Table) WriteFailures(w io.Writer, most int) {
	for _, r := range t.Rows {
		if !r.Coached {
			continue
		}
		fmt.Fprintf(w, "\nbenches that went wrong for %s:\n", r.Strategy.Title)
		n := 0
		for _, o := range r.Outcomes {
			if wrong := o.wrong(); wrong != "" && n < most {
				n++
				fmt.Fprintf(w, "  seed %-6d %-16s %-17s %2d additions %5.0f s  ends %.3f for %.2f  %s\n",
					o.Seed, o.System, o.Gross, o.Additions, o.Seconds, o.Final, o.Target, wrong)
			}
		}
	}
}

// wrong says what went wrong, empty when all is well.
func (o Outcome) wrong() string {
	var list []string
	if !o.In && o.Stopped {
		list = append(list, "stopped outside the tolerance")
	}
	if o.Over {
		list = append(list, fmt.Sprintf("overshot by %.3f", o.Worst))
	}
	if o.Stuck != "" {
		list = append(list, "gave up: "+o.Stuck)
	}
	switch {
	case o.Gross == Sound && len(o.Checks) > 0:
		list = append(list, "false alarm: "+strings.Join(o.Checks, ", then "))
	case o.Gross != Sound && len(o.Named) == 0:
		list = append(list, "not noticed")
	case o.Gross != Sound && !o.Right:
		list = append(list, "misnamed: "+o.names())
	}
	return strings.Join(list, "; ")
}

// names are the codes of each check, those of one check joined by "or".
func (o Outcome) names() string {
	var list []string
	for _, n := range o.Named {
		list = append(list, strings.Join(n, " or "))
	}
	return strings.Join(list, ", then ")
}

// WriteCSV writes the table with a header; shares are in per cent, times in s.
func (t Table) WriteCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	c.Write([]string{"strategy", "tier", "seed", "runs", "in_tolerance_pct", "overshoot_pct", "back_titrated_pct", "gave_up_pct",
		"additions_mean", "additions_median", "additions_p95", "time_median_s", "time_mean_s", "time_p95_s",
		"named_pct", "rightly_named_pct", "right_among_named_pct", "or_as_one_pct", "false_alarms_pct"})
	num := func(x float64) string {
		if math.IsNaN(x) {
			return ""
		}
		return fmt.Sprintf("%.4g", x)
	}
	for _, r := range t.Rows {
		of := func(x float64) string {
			if !r.Coached {
				return ""
			}
			return num(100 * x)
		}
		c.Write([]string{r.Strategy.Name, t.Tier.String(), fmt.Sprint(t.Seed), fmt.Sprint(t.Runs),
			num(100 * r.In), num(100 * r.Over), num(100 * r.Back), num(100 * r.GaveUp),
			num(r.Adds.Mean), num(r.Adds.Median), num(r.Adds.P95), num(r.Seconds.Median), num(r.Seconds.Mean), num(r.Seconds.P95),
			of(r.Named), of(r.Right), of(r.Among), of(r.Said), of(r.False)})
	}
	c.Flush()
	return c.Error()
}
