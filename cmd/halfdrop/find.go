package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/pool"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/sheet"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/tui/past"
	"github.com/spf13/cobra"
)

func newFindCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "find",
		Short: "Find the strength of a bottle, or what is in a sample: what to weigh, and repeats",
		Long: `A plan with a [find] table determines an amount instead of reaching a pH: the strength of a
titrant against a weighed primary standard, the amount of a known acid or base in a
sample, or pK and amount of an unknown weak one. halfdrop titrate runs it.

find example writes such a plan to start from, find check says before anything is
weighed where the equivalence point will be, how well the answer can be known and
what limits that, find blank writes the plan of its blank, and find
pool combines repeats.`,
		Example: `  halfdrop find example > naoh.toml
  halfdrop find check naoh.toml
  halfdrop titrate --plan naoh.toml --sim`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	c.AddCommand(newFindExample(), newFindCheck(), newFindBlank(), newFindPool())
	return c
}

func newFindExample() *cobra.Command {
	return &cobra.Command{
		Use:     "example",
		Short:   "Write a plan to start from: a base against potassium hydrogen phthalate",
		Example: "  halfdrop find example > naoh.toml",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, err := cmd.OutOrStdout().Write(planfile.FindDemo)
			return err
		},
	}
}

func newFindCheck() *cobra.Command {
	var blank string
	var asJSON bool
	c := &cobra.Command{
		Use:   "check PLAN",
		Short: "Where the equivalence point will be, how well the answer can be known, and what limits it",
		Long: `Says before anything is weighed where the equivalence point will be, how well the
answer can be known on this bench, what limits that, and which indicator would do. A
plan without an equivalence point within reach, or with a standard that is not one, is
refused, with what would work. With --blank the result of a blank run is subtracted,
with its spread, as titrate --blank does. The plan of a blank is checked like any other.`,
		Example: "  halfdrop find check naoh.toml\n  halfdrop find check --blank blank.jsonl naoh.toml",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			p, err := loadFindPlan(args[0])
			if err == nil && blank != "" {
				p, err = subtracting(p, blank)
			}
			if err != nil {
				return err
			}
			setup, err := recipe.Compile(p)
			if err != nil {
				return err
			}
			if asJSON {
				return writeProspectJSON(cmd.OutOrStdout(), setup)
			}
			return tellProspect(cmd.OutOrStdout(), setup)
		},
	}
	c.Flags().StringVar(&blank, "blank", "", "journal of a blank `run`, subtracted with its spread; see halfdrop find blank")
	c.Flags().BoolVar(&asJSON, "json", false, "print one JSON object")
	return c
}

// loadFindPlan is loadPlan for a plan that looks for an amount.
func loadFindPlan(path string) (recipe.Plan, error) {
	p, err := planfile.Load(path)
	if err == nil && p.Find == nil {
		err = withHint(fmt.Errorf("%s: the plan has no [find] table", path), "halfdrop find example writes a plan that has one")
	}
	return p, err
}

// tellProspect says what is to be expected of a determination.
func tellProspect(w io.Writer, s *recipe.Setup) error {
	words, best, err := s.Prospect()
	if err != nil {
		return err
	}
	b, err := s.Bench(s.BenchTemp)
	if err != nil {
		return err
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "to find\t%s\n", sheet.Sought(s))
	for i, st := range best.Stations {
		if s.What == find.Blank {
			break // of water there is none to go by
		}
		mark := ""
		if i == best.Main {
			mark = ", the one to go by"
		}
		fmt.Fprintf(t, "equivalence point\tabout %.3g mL of %s, pH %.1f%s\n", st.Volume.Millilitres(), s.Stocks[st.Stock].Name, st.PH, mark)
	}
	in := func(x float64) string { return fmt.Sprintf("%.2g %%", 100*x) }
	if s.What == find.Blank {
		in = func(x float64) string { return fmt.Sprintf("%.2g mL", 1e3*x) }
		fmt.Fprintf(t, "titrant\ta few steps of %s, a few tenths of a mL\n", s.Stocks[0].Name)
	}
	if f := s.Plan.Find; f.BlankML != nil {
		fmt.Fprintf(t, "blank\t%s is subtracted\n", run.Spread(*f.BlankML, s.BlankSD(), "mL"))
	}
	of := ""
	if s.What == find.Blank {
		of = fmt.Sprintf(", where it is %g mL", find.UsualBlank.Millilitres())
	}
	fmt.Fprintf(t, "can be known to\t%s%s\n", in(best.Relative()), of)
	for i, c := range best.Causes {
		if i == 4 || c.SD < best.Relative()/20 {
			break
		}
		fmt.Fprintf(t, "\t%s of it %s\n", in(c.SD), c.Cause)
	}
	g, _ := b.Guide.(*find.Bench)
	by := g.Indicators(2)
	for _, x := range by {
		fmt.Fprintf(t, "by indicator\t%s\n", x)
	}
	if len(by) > 0 {
		fmt.Fprintf(t, "\tan end point judged by eye is common practice; the choice is yours\n")
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if words != "" {
		fmt.Fprintf(w, "note: %s\n", words)
	}
	return nil
}

// foretell says before a run what its plan cannot reach.
func foretell(p recipe.Plan, talk io.Writer) error {
	if p.Find == nil {
		return nil
	}
	s, err := recipe.Compile(p)
	if err != nil {
		return err
	}
	words, _, err := s.Prospect()
	if err == nil && words != "" {
		fmt.Fprintf(talk, "halfdrop: note: %s\n", words)
	}
	return err
}

func newFindPool() *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "pool RUN...",
		Short: "Combine repeats: mean, confidence interval, and Grubbs' test for an outlier",
		Long: `Combines the answers of several runs: their mean with its 95 % confidence
interval by Student's t, and the part of the spread that all share (balance,
burette, meter), which repeats do not reduce. The value farthest from the mean is
tested by Grubbs' test at 5 % (F. E. Grubbs, Technometrics 11, 1, 1969). An outlier is
named, never removed: look for its cause first.`,
		Example: "  halfdrop find pool monday.jsonl tuesday.jsonl wednesday.jsonl",
		Args:    cobra.MinimumNArgs(1),
		RunE:    func(cmd *cobra.Command, args []string) error { return poolRuns(cmd.OutOrStdout(), args, asJSON) },
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print one JSON object")
	return c
}

// errNoAnswer is said of a run that does not look for an amount.
var errNoAnswer = errors.New("the run does not determine an amount")

func poolRuns(w io.Writer, paths []string, asJSON bool) error {
	var list []pool.Value
	var first *run.Finding
	rows := w
	if asJSON {
		rows = io.Discard
	}
	t := tabwriter.NewWriter(rows, 0, 0, 2, ' ', 0)
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
			return withHint(fmt.Errorf("%s: %w", path, errNoAnswer), "only runs of plans with [find] can be pooled")
		case first == nil:
			first = f
		case f.What != first.What || f.Name != first.Name:
			return withHint(fmt.Errorf("%s: %s, where the first run is about %s", path, f.Name, first.Name), "pool runs of one bottle, or of one sample")
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
		fmt.Fprintf(t, "%s\t%s%s\n", path, run.Spread(value, sd, ""), note)
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
	fmt.Fprintf(w, "%s: mean of %d %s, 95 %% interval %.5g to %.5g; of which %.2g %% is shared by all\n", first.Name, p.N, run.Spread(p.Mean, p.Total, unit), p.Low, p.High, 100*p.Shared/p.Mean)
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

// teachIfSure teaches the bench what was found by a run that ended as it should.
func (t *titration) teachIfSure(s run.State, path string, talk io.Writer) error {
	if s.AtLast().Advice.Do != coach.Stop {
		return nil
	}
	if err := t.teachFound(s, talk); err != nil {
		return err
	}
	return t.memory().Teach(s, path, talk) // the electrode, where it has a name
}

// teachFound keeps the strength that a run has found under the name of its bottle.
func (t *titration) teachFound(s run.State, talk io.Writer) error {
	f := s.Finding(s.T)
	st := s.Setup.Stocks[0]
	path, err := t.memory().File()
	switch {
	case err != nil || path == "" || f == nil || f.What != find.Strength:
		return err
	case t.benchPath == "" && strings.HasPrefix(s.Start.Source, sim.SourcePrefix):
		return nil
	case st.Bottle == "":
		fmt.Fprintln(talk, `halfdrop: hint: give the bottle a name in the plan (bottle = "…"), and its strength is remembered`)
		return nil
	}
	book, err := shelf.ReadBench(path)
	if err != nil {
		return err
	}
	book.State(bench.Found(st.Bottle, f.Value, f.Relative(), f.Carbonate, f.CarbonateSD, time.Now().Truncate(time.Second)))
	if err := shelf.WriteBench(path, book); err != nil {
		return withHint(fmt.Errorf("the strength could not be saved: %w", err), "the run itself is recorded")
	}
	fmt.Fprintf(talk, "halfdrop: bottle %s is remembered as %s\n", st.Bottle, f.Short())
	return nil
}

// found says how a run that looks for an amount ended.
func found(s run.State, w io.Writer) error {
	v := s.AtLast()
	f := v.Found
	if f == nil {
		return nil
	}
	if err := replay.WriteFound(w, f); err != nil {
		return err
	}
	if v.Advice.Do == coach.Stop && f.AsGood() {
		return nil
	}
	why := "the run ended before the answer was known as well as wanted"
	if v.Advice.Do == coach.Stop {
		why = fmt.Sprintf("the answer is known to %s, where %s was wanted", f.Percent(), f.Wanted())
	}
	return &remedy.Error{Kind: remedy.Missed, Err: errors.New(why)}
}
