package amount

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/found"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
)

// teachFound keeps the strength that a run has found under the name of its bottle.
func teachFound(m shelf.Memory, s run.State, talk io.Writer) error {
	f := s.Finding(s.T)
	st := s.Setup.Stocks[0]
	path, err := m.File()
	switch {
	case err != nil || path == "" || f == nil || f.What != find.Strength:
		return err
	case m.Path == "" && strings.HasPrefix(s.Start.Source, sim.SourcePrefix):
		return nil
	case st.Bottle == "":
		fmt.Fprintln(talk, `halfdrop: hint: give the bottle a name in the plan (bottle = "…"), and its strength is remembered`)
		return nil
	}
	book, err := shelf.ReadBench(path)
	if err != nil {
		return err
	}
	book.State(bench.Found(st.Bottle, bench.Strength{Molar: chem.Molarity(f.Value), Relative: f.Relative(), Carbonate: f.Carbonate, CarbonateSD: f.CarbonateSD}, time.Now().Truncate(time.Second)))
	if err := shelf.WriteBench(path, book); err != nil {
		return remedy.With(fmt.Errorf("the strength could not be saved: %w", err), "the run itself is recorded")
	}
	fmt.Fprintf(talk, "halfdrop: bottle %s is remembered as %s\n", st.Bottle, f.Short())
	return nil
}

// Found says how a run that looks for an amount ended.
func Found(s run.State, w io.Writer) error {
	v := s.AtLast()
	f := v.Found
	if f == nil {
		return nil
	}
	if err := found.Write(w, f); err != nil {
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

// Teach teaches the bench what was found by a run that ended as it should.
func Teach(m shelf.Memory, s run.State, path string, talk io.Writer) error {
	if s.AtLast().Advice.Do != coach.Stop {
		return nil
	}
	if err := teachFound(m, s, talk); err != nil {
		return err
	}
	return m.Teach(s, path, talk) // the electrode, where it has a name
}
