package sim

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"sync"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
)

// Errors of additions.
var (
	ErrNoTitrant = errors.New("no such bottle on the bench")
	ErrAmount    = errors.New("the amount must be above zero")
	ErrNothing   = errors.New("no such addition to take back")
)

// Bench is a virtual beaker with its bottles, dropper, electrode and meter.
// It may be used from several goroutines.
type Bench struct {
	mu    sync.Mutex
	truth Truth
	setup *recipe.Setup
	names []string
	clock *Clock // nil: only Advance moves the time
	sends Sends

	systems []*chem.System
	model   *chem.Model      // at the temperature now
	use     *chem.Model      // at the temperature of use
	finalKg float64          // water at the mark, kg
	later   chem.Composition // what goes in once the pH is set
	bottles []chem.Composition

	t       float64
	total   chem.Composition // everything in the beaker
	pending chem.Composition // the part of it that has not reached the electrode
	dosedAt float64
	local   chem.Equilibrium // round the electrode
	fast    float64          // the two parts of what the electrode shows, pH
	slow    float64
	// follower stands for fast and slow where a recorded step is followed.
	follower *follower

	doses   []dose
	begun   int // additions
	noise   *rand.Rand
	scatter *rand.Rand
	// scatterDice is what scatter draws from.
	scatterDice *rand.PCG

	ills   [illCount]spell
	ailing bool    // any of them is set
	open   bool    // the lead has been seen broken
	openAt float64 // where the reading stood then, pH
	knocks int     // additions, each of which touches the electrode a little
	tip    chem.Composition
	fell   bool // what nobody logged has fallen
	lost   bool // what was logged has missed the beaker
	dip    dipped
}

// dose is an addition as it really was.
type dose struct {
	seq    int
	stock  int
	drops  float64 // as asked for, or of
	of     chem.Volume
	what   chem.Composition
	fallen float64 // share of it that is in the beaker
	before chances // as they were
}

// New puts a bench together from what was planned and what is true.
func New(setup *recipe.Setup, truth Truth) (*Bench, error) {
	b := &Bench{
		truth: truth, setup: setup,
		noise:       rand.New(rand.NewPCG(truth.Seed, 0x6e6f)),
		scatterDice: rand.NewPCG(truth.Seed, 0x5ca7),
	}
	b.scatter = rand.New(b.scatterDice)
	if err := b.afflict(); err != nil {
		return nil, err
	}
	temp := b.tempAt(0)
	content, err := b.weighed()
	if err != nil {
		return nil, err
	}
	b.systems = truth.shifted(recipe.Union(setup.Systems(), content.Kinds()...))
	if b.model, b.use, err = b.models(temp, b.systems); err != nil {
		return nil, err
	}
	b.finalKg = setup.UseKg()
	if err := b.fill(content, temp); err != nil {
		return nil, err
	}
	if b.local, err = b.model.Solve(&b.total); err != nil {
		return nil, fmt.Errorf("sim: %w", err)
	}
	b.fast, b.slow = b.local.PH, b.local.PH
	if truth.Before != 0 {
		b.fast, b.slow = truth.Before, truth.Before
	}
	if truth.Tape != nil && truth.Tape.Step != nil {
		b.follower = &follower{tape: truth.Tape, seen: b.fast, from: b.fast}
		b.follower.see(b.local.PH, 0)
	}
	return b, nil
}

// models are those at a temperature of the beaker and at that of use.
func (b *Bench) models(temp chem.Celsius, systems []*chem.System) (now, use *chem.Model, err error) {
	if now, err = chem.NewModel(temp, systems); err == nil {
		use, err = chem.NewModel(b.setup.UseTemp, systems)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("sim: %w", err)
	}
	return now, use, nil
}

// shelve puts a bottle of a stock on the bench.
func (b *Bench) shelve(m *chem.Model, st recipe.Stock) error {
	c, err := m.Compose(st.PerLitre(m.Temp()))
	if err != nil {
		return fmt.Errorf("sim: %s: %w", st.Name, err)
	}
	b.bottles = append(b.bottles, c.Stronger(math.Exp(at(b.truth.LnStrength, len(b.bottles)))))
	b.names = append(b.names, st.Name)
	return nil
}

// fill composes beaker and bottles.
func (b *Bench) fill(content chem.Solution, temp chem.Celsius) error {
	dry, err := b.model.Compose(content)
	if err != nil {
		return fmt.Errorf("sim: %w", err)
	}
	buffer := 0.0
	for _, n := range dry.Totals {
		buffer += n
	}
	water := b.setup.StartKg(temp)
	b.total = chem.Composition{Water: water * math.Exp(b.truth.LnVolume)}
	dry.Water = 0
	b.total = b.total.Plus(math.Exp(b.truth.LnAmount), dry)
	if b.later, err = b.use.Compose(b.setup.Later()); err != nil {
		return fmt.Errorf("sim: %w", err)
	}
	b.later.Water = 0
	b.total.Charge += b.truth.Excess * buffer
	b.total.Strength += math.Abs(b.truth.Excess) * buffer
	for _, st := range b.setup.Stocks {
		if err := b.shelve(b.model, st); err != nil {
			return err
		}
	}
	return nil
}

// Truth is what the bench was made with.
func (b *Bench) Truth() Truth { return b.truth }

// Time is the simulated time, s.
func (b *Bench) Time() float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.t
}

// Advance lets the time come to t, s. A time gone by is no error and does nothing.
func (b *Bench) Advance(t float64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.advance(t)
}

// Read takes one reading: pH with noise, rounded to what the meter shows.
func (b *Bench) Read() float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return roundTo(b.read(), b.truth.Decimals)
}

// read is a reading, pH, before it is rounded.
func (b *Bench) read() float64 {
	noise := b.noisy(b.noise)
	if b.dip.place == inRinse {
		noise *= rinseNoise
	}
	return b.railed(b.shown() + noise)
}

func roundTo(x float64, digits int) float64 {
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}

// Ends of the scale of a meter with faults, pH.
const lowestShown, highestShown = 0, 14

func (b *Bench) railed(y float64) float64 {
	if !b.ailing {
		return y
	}
	return math.Min(math.Max(y, lowestShown), highestShown)
}

// shown is what the meter shows now, but for noise and rounding.
func (b *Bench) shown() float64 {
	ph := b.dip.ph
	if b.dip.place == inBeaker {
		ph = b.electrode()
	}
	return b.display(ph) + b.gone()
}

// display is what electrode and meter, with their faults, make of a pH.
func (b *Bench) display(ph float64) float64 {
	if !b.ailing {
		return b.meter(ph)
	}
	return b.railed(b.miscalibrated(b.meter(b.ailed(ph))))
}

// Shown is what the meter would show now without noise and rounding.
func (b *Bench) Shown() float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.shown()
}

// True is what the meter would show, without noise and rounding, when all
// that has been added is mixed and the electrode has settled.
func (b *Bench) True() float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.meter(b.settled(b.model, b.total))
}

// settled is the pH of a composition at rest; NaN where there is none.
func (b *Bench) settled(m *chem.Model, c chem.Composition) float64 {
	e, err := m.SolveNear(&c, b.local)
	if err != nil {
		return math.NaN()
	}
	return e.PH
}

// Rest is what the meter would show now, without noise and rounding, when all that has
// been added is mixed and the electrode has settled; its faults show as they do now.
func (b *Bench) Rest() float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.display(b.settled(b.model, b.total) + b.truth.Drift*b.t/3600)
}

// MadeUp is what the meter would show, settled, after making up to the mark
// at the temperature of use. A beaker filled past the mark is left as it is.
func (b *Bench) MadeUp() float64 { return b.meter(b.Real()) }

// Real is the pH after making up to the mark at the temperature of use, as a
// perfect meter would show it.
func (b *Bench) Real() float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.settled(b.use, b.madeUp(b.total))
}

// madeUp is a beaker with what goes in once its pH is set, made up to the mark; one filled past
// it is left as it is.
func (b *Bench) madeUp(c chem.Composition) chem.Composition {
	c = c.Plus(1, b.later)
	c.Water = math.Max(c.Water, b.finalKg)
	return c
}

// meter is what the meter makes of a pH at the electrode.
func (b *Bench) meter(ph float64) float64 {
	y := ph + b.truth.Offset + b.truth.Slope*(ph-7)
	return y + b.truth.Bend*math.Max(0, ph-7)
}

// unmeter is the pH at the electrode at which the meter shows y.
func (b *Bench) unmeter(y float64) float64 {
	ph := (y - b.truth.Offset + 7*b.truth.Slope) / (1 + b.truth.Slope)
	if ph > 7 {
		ph = (y - b.truth.Offset + 7*(b.truth.Slope+b.truth.Bend)) / (1 + b.truth.Slope + b.truth.Bend)
	}
	return ph
}

// Beaker is the pH in the beaker as it is now, mixed, as a perfect meter at rest
// would show it.
func (b *Bench) Beaker() float64 { return b.unmeter(b.True()) }
