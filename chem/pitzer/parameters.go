package pitzer

import (
	_ "embed"
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem/csvrows"
)

//go:embed data/activity.csv
var activityCSV string

// Origin says where the parameters of a pair of ions come from.
type Origin uint8

// The origins.
const (
	Missing  Origin = iota // none: Debye and Hückel alone
	OfClass                // those of a class of ions, or of an ion taken to be alike
	OfItself               // measured for the pair
)

// refKelvin is 25 °C, at which the parameters are tabulated.
const refKelvin = 298.15

// law is how a parameter changes with temperature:
// a1 + a2 (1/T − 1/T₀) + a3 ln(T/T₀) + a4 (T − T₀), with T₀ = 298.15 K.
type law struct{ a1, a2, a3, a4 float64 }

func (l *law) at(T float64) float64 {
	return l.a1 + l.a2*(1/T-1/refKelvin) + l.a3*math.Log(T/refKelvin) + l.a4*(T-refKelvin)
}

func (l *law) steady() bool { return l.a2 == 0 && l.a3 == 0 && l.a4 == 0 }

// pairLaw are the parameters of two ions: β⁰, β¹, β² and Cᵠ/(2√|z₊z₋|) of
// opposite charges, θ or λ otherwise.
type pairLaw struct {
	b0, b1, b2, c law
	from          Origin
	steady        bool // known at 25 °C only
}

// Pair is what is known of the parameters of two ions.
type Pair struct {
	From   Origin
	Steady bool // known at 25 °C only
}

// PairOf is that of two rows of the table of ions.
func PairOf(i, j int) Pair {
	l := &allParameters().pair[i][j]
	return Pair{l.from, l.steady}
}

// tripleLaw is a ψ or a ζ.
type tripleLaw struct {
	i, j, k int
	v       law
}

// parameters are those of all ions of the table, the missing ones filled in
// from the class of the ion.
type parameters struct {
	pair   [][]pairLaw // by row of the table of ions, symmetric
	triple []tripleLaw
}

var allParameters = csvrows.Once(func() (*parameters, error) { return readParameters(activityCSV, Ions()) })

// readParameters reads the table of activity parameters and refuses rows
// without a source.
func readParameters(text string, t *Table) (*parameters, error) {
	n := len(t.Rows)
	own := &parameters{pair: square(n)}
	if err := csvrows.Each(text, 13, "chem: activity", func(r []string) error { return own.read(r, t) }); err != nil {
		return nil, err
	}
	out := &parameters{pair: square(n), triple: own.triple}
	for i := range n {
		for j := range n {
			out.pair[i][j] = own.nearest(t, i, j)
		}
	}
	return out, nil
}

func square(n int) [][]pairLaw {
	out := make([][]pairLaw, n)
	for i := range out {
		out[i] = make([]pairLaw, n)
	}
	return out
}

// read takes one row.
func (p *parameters) read(r []string, t *Table) error {
	if strings.TrimSpace(r[10]) == "" || (r[11] != "seen" && r[11] != "memory" && r[11] != "choice") {
		return fmt.Errorf("no source, or not said whether seen, from memory or a choice")
	}
	var at [3]int
	for k, name := range r[1:4] {
		i, ok := t.ByName[name]
		switch {
		case name == "" && k > 0:
			i = -1
		case !ok:
			return fmt.Errorf("no ion %q", name)
		}
		at[k] = i
	}
	laws, err := parseLaws(r)
	if err != nil {
		return err
	}
	i, j, k := at[0], at[1], at[2]
	switch r[0] {
	case "ca", "class":
		if t.Rows[i].Charge*t.Rows[j].Charge >= 0 {
			return fmt.Errorf("%s and %s are no cation and anion", r[1], r[2])
		}
		x := pairLaw{b0: laws["b0"], b1: laws["b1"], b2: laws["b2"], c: laws["c"], from: OfItself}
		if r[0] == "class" {
			x.from = OfClass
		}
		x.steady = x.b0.steady() && x.b1.steady() && x.c.steady()
		f := 1 / (2 * math.Sqrt(math.Abs(float64(t.Rows[i].Charge*t.Rows[j].Charge))))
		x.c = law{f * x.c.a1, f * x.c.a2, f * x.c.a3, f * x.c.a4}
		p.pair[i][j], p.pair[j][i] = x, x
	case "theta", "lambda":
		v := laws["v"]
		if j < 0 { // of a neutral species with itself
			j = i
		}
		x := pairLaw{b0: v, from: OfItself, steady: v.steady()}
		p.pair[i][j], p.pair[j][i] = x, x
	case "psi", "zeta":
		if j < 0 || k < 0 {
			return fmt.Errorf("needs three ions")
		}
		p.triple = append(p.triple, tripleLaw{i, j, k, laws["v"]})
	default:
		return fmt.Errorf("no kind %q", r[0])
	}
	return nil
}

// parseLaws reads the columns beta0 to value and the laws of temperature, as
// in "b0 78.2 0 0.0004; c -2.5 0 0": a2, a3 and a4.
func parseLaws(r []string) (map[string]law, error) {
	out := map[string]law{}
	var n csvrows.Numbers
	for k, name := range []string{"b0", "b1", "b2", "c", "v"} {
		if v, given := n.Maybe(r[4+k]); given {
			out[name] = law{a1: v}
		}
	}
	if r[9] == "" {
		return out, n.Err
	}
	for part := range strings.SplitSeq(r[9], ";") {
		var name string
		var a2, a3, a4 float64
		if _, err := fmt.Sscan(part, &name, &a2, &a3, &a4); err != nil {
			return nil, fmt.Errorf("law %q: %w", part, err)
		}
		l := out[name]
		l.a2, l.a3, l.a4 = a2, a3, a4
		out[name] = l
	}
	return out, n.Err
}

// nearest are the parameters of two ions: their own, or those of the pair that
// is the fewest steps along "like" away. Of pairs that are as near, it is the one
// in which the ion of higher rank stays itself: no order of ions may matter.
func (p *parameters) nearest(t *Table, i, j int) pairLaw {
	if t.rank(i) < t.rank(j) {
		i, j = j, i
	}
	z, y := t.Rows[i].Charge, t.Rows[j].Charge
	switch {
	case z == 0 && y != 0:
		return p.salting(t, i, j)
	case y == 0 && z != 0:
		return p.salting(t, j, i)
	case z*y >= 0:
		return p.pair[i][j] // θ is zero unless measured
	}
	chain := func(i int) (out []int) {
		for ; i >= 0; i = t.Rows[i].like {
			out = append(out, i)
		}
		return out
	}
	a, b := chain(i), chain(j)
	for far := range len(a) + len(b) - 1 {
		for x := max(0, far-len(b)+1); x <= min(far, len(a)-1); x++ {
			got := p.pair[a[x]][b[far-x]]
			if got.from == Missing {
				continue
			}
			if far > 0 {
				got.from = OfClass
			}
			return got
		}
	}
	return pairLaw{}
}

// salting is the λ of a neutral species with an ion: its own, or that with the
// ion that this one is like; any other ion of one charge counts as Na⁺ or Cl⁻.
//
// A single λ has no meaning: a salt shows the sum over its ions (Pitzer 1991,
// ch. 3), and every set has its own way of sharing it out. Zero for an anion
// beside the λ of its cation would take a convention for an effect. What a set
// puts at zero is a row of the table, that with H⁺ among them.
func (p *parameters) salting(t *Table, neutral, ion int) pairLaw {
	got := p.pair[neutral][ion]
	for i := t.Rows[ion].like; i >= 0 && got.from == Missing; i = t.Rows[i].like {
		got = p.pair[neutral][i].of(OfClass)
	}
	if got.from == Missing && t.Rows[ion].Charge == 1 {
		got = p.pair[neutral][t.ByName["Na"]].of(OfClass)
	}
	if got.from == Missing && t.Rows[ion].Charge == -1 {
		got = p.pair[neutral][t.ByName["Cl"]].of(OfClass)
	}
	return got
}

// of is the law with another origin, unless there is none.
func (l pairLaw) of(from Origin) pairLaw {
	if l.from != Missing {
		l.from = from
	}
	return l
}
