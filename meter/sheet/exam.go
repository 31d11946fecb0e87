package sheet

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/textfile"
)

// freeText is how much of a metal ion is free, as people write recipes: per litre.
func freeText(f solved.Free) string {
	s := molar(f.Free * f.PerLitre)
	if f.Spread >= vagueFree {
		s += fmt.Sprintf(" (± %s %%)", chem.Digits(100*f.Spread, 1))
	}
	return s + " of " + molar(f.Total*f.PerLitre)
}

// vagueFree is the uncertainty of ln of a free metal ion from which it is said: our own choice.
const vagueFree = 0.03

// molar is a concentration, mol/L, in a unit that fits.
func molar(m float64) string {
	switch {
	case m >= 1e-4:
		return chem.Digits(1e3*m, 3) + " mM"
	case m >= 1e-7:
		return chem.Digits(1e6*m, 3) + " µM"
	case m >= 1e-10:
		return chem.Digits(1e9*m, 3) + " nM"
	}
	return fmt.Sprintf("%.2g M", m)
}

// exam is what a recipe gives, as it is told: brought to its pH or as mixed, and whether
// how much that takes is not said.
type exam struct {
	d                  buffer.Demand
	e                  *buffer.Exam
	last               *solved.Result
	brought, tooStrong bool
}

// WriteExam prints what a recipe gives; brought is whether it is brought to its
// pH, and unsaid that it leaves open with what.
func WriteExam(w io.Writer, p Page, d buffer.Demand, e *buffer.Exam, brought, unsaid bool) error {
	x := exam{d: d, e: e, last: e.InUse, brought: brought && e.Fixed != nil, tooStrong: brought && errors.Is(e.FixErr, buffer.ErrTooStrong)}
	if x.brought {
		x.last = e.Fixed
	}
	_, err := io.WriteString(w, p.bullets(slices.Concat(x.inUse(unsaid), x.elsewhere(), x.besides())))
	return err
}

// inUse is its pH in use, what brings it there, and what it then buffers.
func (x exam) inUse(unsaid bool) []string {
	d, e := x.d, x.e
	made := fmt.Sprintf("at %s °C, made up to %s mL", chem.Digits(float64(d.Use), 3), chem.Digits(d.Volume.Millilitres(), 4))
	if x.tooStrong {
		return []string{
			fmt.Sprintf("It is to be brought to pH %s %s. How much that takes is not said: %s. Titrate by hand, in small portions, and trust the meter.", phrase.PH(d.PH), made, phrase.Plain(e.FixErr)),
			fmt.Sprintf("As mixed, before that: pH %.1f ± %s%s; ionic strength %s mM.", x.last.PH, chem.Digits(x.last.Spread, 1), leads(e, x.last), chem.Digits(1e3*x.last.MolarStrength(), 3)),
		}
	}
	lines := []string{fmt.Sprintf("pH %s %s.", spreadPH(x.last.PH, x.last.Spread, 2), made), capacityLine(x.last)}
	if x.brought {
		with := e.FixWith.Name
		if unsaid {
			with += " (the recipe names none)"
		}
		lines[0] = fmt.Sprintf("Brought to pH %s %s, it takes %s ± %s mmol of %s; before that it is pH %.2f.", phrase.PH(d.PH), made, chem.Digits(e.Fix.Millimoles(), 3), chem.Digits(1e3*x.last.Capacity*x.last.Spread*d.Volume.Litres()*max(1, d.Times), 1), with, e.InUse.PH)
	}
	if e.Weak != nil {
		lines = append(lines, weakLine(e.Weak))
	}
	return lines
}

// elsewhere is what the meter shows at the bench, in the stock, and of what is diluted.
func (x exam) elsewhere() (lines []string) {
	d, e := x.d, x.e
	if x.tooStrong {
		if u := e.Diluted; u != nil {
			lines = append(lines, fmt.Sprintf("As mixed and diluted %s-fold, as its heading says, it reads pH %s at %s °C.%s", chem.Digits(e.Fold, 3), spreadPH(u.PH, u.Spread, 2), chem.Digits(float64(d.Use), 3), bySample(d, e)))
		}
		return lines
	}
	atBench, stock := e.AtBench, e.Stronger
	if x.brought {
		atBench, stock = e.FixedAtBench, e.FixedStronger
	}
	if d.Bench != d.Use {
		lines = append(lines, fmt.Sprintf("At the bench, %s °C, the meter shows pH %.2f.", chem.Digits(float64(d.Bench), 3), atBench.PH))
	}
	if stock != nil {
		lines = append(lines, fmt.Sprintf("As the %s-fold stock, before it is diluted, it reads pH %s at %s °C.", chem.Digits(d.Times, 3), spreadPH(stock.PH, stock.Spread, 2), chem.Digits(float64(d.Bench), 3)))
	}
	if u := e.Diluted; u != nil {
		lines = append(lines, fmt.Sprintf("Diluted %s-fold, as its heading says, it reads pH %s at %s °C.", chem.Digits(e.Fold, 3), spreadPH(u.PH, u.Spread, 2), chem.Digits(float64(d.Use), 3)))
	}
	return lines
}

// besides is what does not dissolve, what is free, the verdict, what waits, and what comes out.
func (x exam) besides() (lines []string) {
	d, e := x.d, x.e
	var slow *table.SolubilityError
	if x.brought && errors.As(e.First, &slow) {
		lines = append(lines, fmt.Sprintf("%s does not dissolve before that (only about %s mol per kg of water does): add most of the %s while it is stirred.", slow.Reagent, chem.Digits(slow.Limit, 2), e.FixWith.Name))
	}
	for _, m := range x.last.Free {
		if m.Total > 0 && !x.tooStrong { // at another pH
			lines = append(lines, fmt.Sprintf("Free %s %s.", m.System, freeText(m)))
		}
	}
	if !x.brought && !x.tooStrong {
		lines = append(lines, verdictOf(d, e)...)
	}
	for _, w := range waiting(e, x.brought || x.tooStrong) {
		lines = append(lines, "Put in last, once the pH is set, "+w+".")
	}
	for _, salt := range e.Now {
		begin := clearWords(salt)
		if x.tooStrong {
			begin = "As mixed: "
		}
		lines = append(lines, begin+table.Words(salt)+".")
	}
	for _, salt := range e.NowStock {
		lines = append(lines, fmt.Sprintf("The %s-fold stock: ", chem.Digits(d.Times, 3))+table.Words(salt)+".")
	}
	for _, salt := range e.Later {
		lines = append(lines, "Over days, or when heated: "+table.Words(salt)+".")
	}
	return lines
}

// bySample says what brings a stock to its pH as a diluted sample has it, and to go by that.
func bySample(d buffer.Demand, e *buffer.Exam) string {
	f := e.BySample
	if f == nil {
		return ""
	}
	with := "acid"
	if f.Base {
		with = "base"
	}
	sd := 1e3 * f.Result.Capacity * f.Result.Spread * d.Volume.Litres() * e.Fold
	return fmt.Sprintf(" %s ± %s mmol of %s in the whole of the stock bring that to pH %s: go by diluted samples where that is the pH that counts.", chem.Digits(f.Amount.Millimoles(), 2), chem.Digits(sd, 1), with, phrase.PH(d.PH))
}

// waiting is what goes in last: where nothing is brought to a pH, only what acid makes a gas of.
func waiting(e *buffer.Exam, brought bool) (out []string) {
	for _, x := range e.Waits {
		if brought || x.Gas {
			out = append(out, x.Words)
		}
	}
	return out
}

// leads is which way it goes from a pH that is far enough from the target to tell.
func leads(e *buffer.Exam, last *solved.Result) string {
	switch {
	case math.Abs(e.Off) <= 2*last.Spread:
		return ""
	case e.Off > 0:
		return ", from where acid takes it there"
	}
	return ", from where base takes it there"
}

// clearWords begin the sentence on a salt.
func clearWords(x solved.Saturation) string {
	if !table.Certain(x) {
		return "It may not stay clear: "
	}
	return "It does not stay clear: "
}

func capacityLine(r *solved.Result) string {
	return fmt.Sprintf("Capacity %s mM per pH, ionic strength %s mM, dpH/dT %s.", chem.Digits(1e3*r.Capacity, 2), chem.Digits(1e3*r.MolarStrength(), 3), perDegree(r, 3))
}

// vagueSlope is the uncertainty of dpH/dT, per °C, from which it is said: that of heats which
// were measured moves it by less than 0.001.
const vagueSlope = 0.003

// perDegree is dpH/dT in words, with its uncertainty where a heat is estimated or not known.
func perDegree(r *solved.Result, decimals int) string {
	s := chem.Signed(r.DPHDT, decimals)
	if u := r.Doubts.PerDegree; u >= vagueSlope {
		s += fmt.Sprintf(" ± %.3f", u)
	}
	return s + " per °C"
}

// weakLine says that the buffer hardly holds the pH.
func weakLine(w *buffer.Weakness) string {
	pk := phrase.Each(w.PKs, func(x float64) string { return fmt.Sprintf("%.1f", x) })
	return fmt.Sprintf("It hardly buffers there: %s has %s %% of what it could have at a pKa (%s).", w.System, chem.Digits(100*w.Share, 1), strings.Join(pk, ", "))
}

// verdictOf compares with the target, if there is one.
func verdictOf(d buffer.Demand, e *buffer.Exam) []string {
	switch {
	case math.IsNaN(e.Off):
		return nil
	case errors.Is(e.FixErr, buffer.ErrTooStrong): // so wide a spread would cover any pH
		return []string{fmt.Sprintf("The target of %s is missed by %+.2f: %s.", phrase.PH(d.PH), e.Off, phrase.Plain(e.FixErr))}
	case math.Abs(e.Off) <= d.Tolerance:
		return []string{fmt.Sprintf("The target of %s ± %s is met: %s from it.", phrase.PH(d.PH), chem.Digits(d.Tolerance, 2), chem.Signed(e.Off, 2))}
	case math.Abs(e.Off) <= 2*e.InUse.Spread:
		within := "within"
		if math.Abs(e.Off) > e.InUse.Spread {
			within = "no more than twice"
		}
		return []string{fmt.Sprintf("The target of %s is missed by %+.2f, %s the uncertainty of ± %s: measure it before adding anything.", phrase.PH(d.PH), e.Off, within, chem.Digits(e.InUse.Spread, 1))}
	case e.FixErr != nil:
		return []string{fmt.Sprintf("The target of %s is missed by %+.2f, and no %s takes it there: %s.", phrase.PH(d.PH), e.Off, d.Acid, phrase.Plain(e.FixErr))}
	}
	s := fmt.Sprintf("The target of %s ± %s is missed by %+.2f: %s mmol of %s more would bring it there.", phrase.PH(d.PH), chem.Digits(d.Tolerance, 2), e.Off, chem.Digits(e.Fix.Millimoles(), 3), e.FixWith.Name)
	if math.Abs(e.Off) <= prepare.AsItComes && e.Free && twoBuffers(e.InUse) {
		s += " Two buffers in their proportions, as for electrophoresis, are as a rule used as they come (common practice, no source)."
	}
	return []string{s}
}

// twoBuffers reports whether a solution holds more than one.
func twoBuffers(r *solved.Result) bool {
	first := ""
	return slices.ContainsFunc(r.Species, func(x solved.Species) bool {
		if first == "" && table.KindOf(x.System) == table.Buffer {
			first = x.System
		}
		return first != "" && x.System != first && table.KindOf(x.System) == table.Buffer
	})
}

// ExamJSON is what plan --check --json prints.
type ExamJSON struct {
	InUse
	AtBench  float64  `json:"bench_ph"`
	Off      *float64 `json:"off,omitempty"`
	Fix      *float64 `json:"fix_mmol,omitempty"`
	FixWith  string   `json:"fix_with,omitempty"`
	Brought  bool     `json:"brought,omitempty"`            // it is brought to its target, and ph is that before
	Weak     *float64 `json:"weak_share,omitempty"`         // of the largest capacity of its buffers, where it hardly buffers
	Now      []string `json:"precipitates,omitempty"`       // salts that come out
	NowStock []string `json:"stock_precipitates,omitempty"` // salts that come out of the stock
	Waits    []string `json:"once_the_ph_is_set,omitempty"` // what goes in last, and why
	Later    []string `json:"over_days,omitempty"`          // and those that take days or heat
}

// WriteExamJSON prints what a recipe gives as one line; brought is as for WriteExam.
func WriteExamJSON(w io.Writer, e *buffer.Exam, brought bool) error {
	j := ExamJSON{Brought: brought, Waits: waiting(e, brought), InUse: inUse(e.InUse, e.InUse.Spread), AtBench: e.AtBench.PH}
	if !math.IsNaN(e.Off) {
		j.Off = &e.Off
		if e.FixErr == nil {
			n := e.Fix.Millimoles()
			j.Fix, j.FixWith = &n, e.FixWith.Name
		}
	}
	if e.Weak != nil {
		j.Weak = &e.Weak.Share
	}
	for to, list := range map[*[]string][]solved.Saturation{&j.Now: e.Now, &j.NowStock: e.NowStock, &j.Later: e.Later} {
		for _, x := range list {
			*to = append(*to, table.Words(x))
		}
	}
	return textfile.JSONLine(w, j)
}
