package trial

import (
	"fmt"
	"io"
	"math"
)

// Story plays one bench and writes what happened, second by second, with what
// nobody at the plate could know.
func Story(w io.Writer, tier Tier, atOnce bool, seed uint64, s Strategy) (Outcome, error) {
	b, err := Draw(tier, seed)
	if err != nil {
		return Outcome{}, err
	}
	b.AtOnce = atOnce
	b.describe(w)
	fmt.Fprintf(w, "\n%s\n", s.Title)
	o, err := s.Play(b, w)
	if err != nil {
		return o, err
	}
	fmt.Fprintf(w, "ends at %.3f for %.2f after %d additions and %.0f s", o.Final, o.Target, o.Additions, o.Seconds)
	if wrong := o.wrong(); wrong != "" {
		fmt.Fprintf(w, ": %s", wrong)
	}
	fmt.Fprintln(w)
	return o, nil
}

func (b *Bench) describe(w io.Writer) {
	p, t := b.Setup, b.Truth
	fmt.Fprintf(w, "%s bench, seed %d: %s, %.4g mmol in %.4g mL, to %.4g mL, target %.2f ± %g at %.1f °C\n", b.Tier, b.Seed,
		p.Weighed[0].Reagent.FullName(), p.Weighed[0].Amount.Millimoles(), p.Start.Millilitres(), p.Final.Millilitres(), p.Target, p.Tolerance, float64(p.UseTemp))
	for j, st := range p.Stocks {
		fmt.Fprintf(w, "  %-14s strength × %.3f, drop × %.3f\n", st.Name, math.Exp(t.LnStrength[j]), math.Exp(t.LnDrop[st.Dropper]))
	}
	fmt.Fprintf(w, "  the plan needs %.1f drops of the first; what is wrong: %s\n", b.Drops, b.Gross)
	fmt.Fprintf(w, "  amount × %.3f, excess %+.4f, volume × %.3f, offset %+.3f, slope %+.4f, noise %.4f, %d decimals\n",
		math.Exp(t.LnAmount), t.Excess, math.Exp(t.LnVolume), t.Offset, t.Slope, t.Noise, t.Decimals)
	fmt.Fprintf(w, "  late part %.1f %% of %.0f s, slower by %.2f, pick-up %.2f\n", 100*t.SlowShare, t.SlowTau, math.Exp(t.LnDrift), t.Pickup)
	fmt.Fprintf(w, "  electrode %.1f s, mixing %.1f s, scatter of drops %.0f %%, pK shifts %v\n", t.Tau, t.Mixing, 100*t.Scatter, t.PKShift)
}
