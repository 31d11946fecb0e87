package sim

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"example.org/halfdrop/chem"
)

// Dispense adds titrant to the beaker at once: drops, or a volume when drops is 0.
func (b *Bench) Dispense(titrant string, drops float64, v chem.Volume) error {
	p, err := b.Begin(titrant, drops, v)
	if err != nil {
		return err
	}
	p.Fall(1)
	return nil
}

// Pour is an addition of which parts fall one after the other.
type Pour struct {
	bench *Bench
	seq   int
}

// Begin begins to add titrant: drops, or a volume when drops is 0. Nothing has fallen yet.
func (b *Bench) Begin(titrant string, drops float64, of chem.Volume) (*Pour, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	j := slices.Index(b.names, titrant)
	if j < 0 {
		return nil, fmt.Errorf("sim: %w: %q", ErrNoTitrant, titrant)
	}
	b.present()
	before := b.chances()
	v, err := b.volume(j, drops, of)
	if err != nil {
		return nil, fmt.Errorf("sim: %w", err)
	}
	b.begun++
	d := dose{seq: b.begun, stock: j, drops: drops, of: of, what: b.falls(chem.Composition{}.Plus(v, b.bottle(j)), drops)}
	d.before = before
	b.knocks++
	b.doses = append(b.doses, d)
	return &Pour{bench: b, seq: d.seq}, nil
}

// Fall lets a share of the addition fall now. After it was taken back nothing
// falls any more.
func (p *Pour) Fall(share float64) {
	b := p.bench
	b.mu.Lock()
	defer b.mu.Unlock()
	i := slices.IndexFunc(b.doses, func(d dose) bool { return d.seq == p.seq })
	if i < 0 {
		return
	}
	b.present()
	d := &b.doses[i]
	d.fallen += share
	b.put(share, *d)
}

// volume is what really falls into the beaker, L.
func (b *Bench) volume(j int, drops float64, of chem.Volume) (float64, error) {
	v, rel := of.Litres(), b.truth.Poured
	if drops > 0 {
		st := b.setup.Stocks[j]
		v = drops * st.Drop.Litres() * math.Exp(at(b.truth.LnDrop, st.Dropper))
		rel = b.truth.Scatter / math.Sqrt(drops)
		if drops < 1 {
			rel = math.Hypot(rel, touchedOff)
		}
	}
	if !(v > 0) || math.IsInf(v, 0) {
		return 0, ErrAmount
	}
	if s := b.has(dropper, b.t); s > 0 && drops > 0 {
		v *= math.Pow(otherDropper, s)
	}
	// A drop never has less than no volume.
	return v * math.Max(0, 1+rel*b.scatter.NormFloat64()), nil
}

// touchedOff is the scatter of half a drop that is touched off, relative; a
// choice of this project.
const touchedOff = 0.25

// put adds k times a dose; it spreads to the electrode from now on.
func (b *Bench) put(k float64, d dose) {
	b.total = b.total.Plus(k, d.what)
	b.pending = b.pending.Plus(k, d.what)
	b.dosedAt = b.t
}

// Retract takes the latest dose of this titrant and amount out again, exactly
// as it was: the person had keyed it in without having given it.
func (b *Bench) Retract(titrant string, drops float64, v chem.Volume) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	for i := len(b.doses) - 1; i >= 0; i-- {
		d := b.doses[i]
		if b.names[d.stock] != titrant || d.drops != drops || drops == 0 && math.Abs((d.of-v).Millilitres()) > 1e-6 {
			continue
		}
		b.present()
		b.put(-d.fallen, d)
		b.doses = slices.Delete(b.doses, i, i+1)
		return nil
	}
	return fmt.Errorf("sim: %w: %s", ErrNothing, titrant)
}

// Unmake is Retract for an addition that shall leave no trace at all: when it was
// the latest, the next one draws the drops that it drew.
func (b *Bench) Unmake(titrant string, drops float64, v chem.Volume) error {
	var last dose
	b.mu.Lock()
	if n := len(b.doses); n > 0 {
		last = b.doses[n-1]
	}
	b.mu.Unlock()
	if err := b.Retract(titrant, drops, v); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if last.seq == b.begun && !slices.ContainsFunc(b.doses, func(d dose) bool { return d.seq == last.seq }) {
		b.restore(last.before)
	}
	return nil
}

// chances are what an addition changes beside the beaker: the dice of its drops,
// how often the electrode was touched, what hangs on the tip.
type chances struct {
	dice   rand.PCG
	knocks int
	tip    chem.Composition
	lost   bool
}

func (b *Bench) chances() chances {
	return chances{*b.scatterDice, b.knocks, b.tip, b.lost}
}

// restore makes the latest addition one that never was: the next draws what it drew.
func (b *Bench) restore(c chances) {
	*b.scatterDice, b.knocks, b.tip, b.lost = c.dice, c.knocks, c.tip, c.lost
	b.begun--
}

// present brings a bench that is tied to a clock to the time of the clock.
func (b *Bench) present() {
	if b.clock != nil {
		b.advance(b.clock.Seconds())
	}
}
