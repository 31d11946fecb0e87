package trial

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/sim"
)

// Tier says how rough the benches are.
type Tier uint8

const (
	// Ordinary care, a healthy electrode.
	Ordinary Tier = iota
	// Harsh: every spread wider, slow electrodes, and a gross mistake in half
	// of the runs.
	Harsh
	// Laboratory: ordinary care, the glass electrodes of laboratories.
	Laboratory
	// Student: the sensors and hands of a practical course.
	Student
	// Old electrodes, slow and with a late part of minutes.
	Old
	// Pickup: electrical pick-up of two values.
	Pickup
	// Gaps in what the meter sends.
	Gaps
	tierCount
)

var tierNames = [tierCount]string{"ordinary", "harsh", "laboratory", "student", "old", "pick-up", "gaps"}

// String is the name used on the command line.
func (t Tier) String() string { return tierNames[t] }

// TierNames are the names of all tiers.
func TierNames() []string { return tierNames[:] }

// ParseTier is the tier of that name.
func ParseTier(name string) (Tier, error) {
	if i := slices.Index(tierNames[:], name); i >= 0 {
		return Tier(i), nil
	}
	return 0, fmt.Errorf("trial: no tier %q: %s", name, strings.Join(tierNames[:], ", "))
}

func (t Tier) spread() sim.Spread {
	return [tierCount]func() sim.Spread{sim.Ordinary, sim.Harsh, sim.Laboratory, sim.Student, sim.Old, sim.Pickup, sim.Gappy}[t]()
}

// hands are those of the tier when drops fall one by one.
func (t Tier) hands() hands.Kind {
	if t == Student {
		return hands.Careless
	}
	return hands.Drip
}

// The bottles of every bench, in the order of the plan.
const (
	coarse   = 0 // 15 to 200 drops of it lead to the target
	weak     = 1 // the same, tenfold weaker
	opposite = 2 // of the other kind
)

// Bench is what a strategy stands at.
type Bench struct {
	Seed       uint64
	Tier       Tier
	System     string
	Up         bool // the plan leads up, with base
	Plan       recipe.Plan
	Setup      *recipe.Setup
	Truth      sim.Truth
	Gross      Gross
	Drops      float64 // of the coarse stock, as the plan needs them
	AsItStands bool    // the beaker is judged as it stands, not made up to the mark
	AtOnce     bool    // additions fall within an instant, as nobody can

	system buffer
}

// Ranges of the benches (the project's yardstick).
const (
	leastM, mostM         = 0.005, 0.5 // mol/L of buffer at the mark
	leastML, mostML       = 50.0, 1000.0
	leastDrops, mostDrops = 15.0, 200.0
	lowestPH, highestPH   = 3.0, 11.0
	strongestM            = 10.0 // mol/L of a stock that one would drip
	dropUL                = 50.0
	tolerance             = 0.02
	tries                 = 2000
)

// ErrNoBench is returned when no bench could be drawn.
var ErrNoBench = errors.New("no bench could be drawn")

// Draw draws the bench of a seed. A plan that cannot be carried out, a target
// outside pH 3–11 and a truth that nobody could bring to the target below the
// mark are drawn again.
func Draw(tier Tier, seed uint64) (*Bench, error) {
	r := rand.New(rand.NewPCG(seed, 0xbe9c4+uint64(tier)))
	for range tries {
		b := &Bench{Seed: seed, Tier: tier}
		if b.draw(r) {
			return b, nil
		}
	}
	return nil, fmt.Errorf("trial: seed %d: %w", seed, ErrNoBench)
}

func (b *Bench) draw(r *rand.Rand) bool {
	b.system = buffers[r.IntN(len(buffers))]
	b.System, b.Up = b.system.name, r.IntN(2) == 0
	p, ok := b.plan(r)
	if !ok {
		return false
	}
	s, err := recipe.Compile(p)
	if err != nil {
		return false
	}
	b.Plan, b.Setup = p, s
	if !b.drips() {
		return false
	}
	truth := b.Tier.spread().Draw(s, r.Uint64())
	if b.Tier == Harsh && r.IntN(2) == 0 {
		b.Gross = anyGross(r, b, &truth)
	}
	b.Truth = truth
	return b.doable()
}

// drips reports whether the plan takes a number of drops of the coarse stock that one would drip,
// and puts it down.
func (b *Bench) drips() bool {
	cb, err := b.Setup.Bench(b.Setup.BenchTemp)
	if err != nil {
		return false
	}
	b.Drops = cb.Forecast().Need[coarse] / b.Setup.Stocks[coarse].Drop.Litres()
	return b.Drops >= leastDrops && b.Drops <= mostDrops
}

// plan draws what the person believes.
func (b *Bench) plan(r *rand.Rand) (p recipe.Plan, ok bool) {
	name, protons := b.system.acid, b.system.taken(r)
	moved := protons
	if !b.Up {
		name, moved = b.system.base, b.system.protons-protons
	}
	final := digits(logUniform(r, leastML, mostML), 2)
	start := digits(final*(0.6+0.25*r.Float64()), 3)
	mol := digits(logUniform(r, leastM, mostM)*final*1e-3, 3)
	drops := leastDrops + (mostDrops-leastDrops)*r.Float64()
	molar := digits(moved*mol/(drops*dropUL*1e-6), 3)
	temp := math.Round(10*(19+7*r.Float64())) / 10
	other := molar
	if r.IntN(2) == 0 {
		other = molar / 10
	}
	if name == "" || molar > strongestM {
		return p, false
	}
	ph, err := b.target(name, mol, moved*mol, chem.Volume(final)*chem.Millilitre, chem.Celsius(temp))
	if err != nil || ph < lowestPH || ph > highestPH {
		return p, false
	}
	base, acid := "NaOH", "HCl"
	if !b.Up {
		base, acid = acid, base
	}
	return recipe.Plan{
		Name:    fmt.Sprintf("%s pH %.2f", b.System, ph),
		Target:  recipe.Target{PH: &ph, Tolerance: ptr(tolerance)},
		Beaker:  recipe.Beaker{StartML: &start, FinalML: &final, TempC: &temp},
		Weighed: []recipe.Weighed{{Reagent: name, MMol: ptr(mol * 1e3)}},
		Titrants: []recipe.Titrant{
			titrant(base, molar), titrant(base, molar/10), titrant(acid, other),
		},
	}, true
}

func titrant(reagent string, molar float64) recipe.Titrant {
	molar = digits(molar, 3)
	return recipe.Titrant{Name: fmt.Sprintf("%s %g M", reagent, molar), Reagent: reagent, Molar: &molar, DropUL: ptr(dropUL)}
}

// target is the pH, in hundredths, of the buffer at the mark with the moles
// of strong base or acid in it.
func (b *Bench) target(name string, mol, moved float64, final chem.Volume, temp chem.Celsius) (float64, error) {
	r, err := table.ByAmount(name)
	if err != nil {
		return 0, err
	}
	s := chem.Solution{Volume: final, Temp: temp}
	in := r.Dissolved(chem.Amount(mol))
	m, err := chem.NewModel(temp, in.Kinds())
	if err != nil {
		return 0, err
	}
	c, err := m.Compose(chem.Solution{Volume: final, Temp: temp, Systems: in.Systems, Ions: in.Ions})
	if err != nil {
		return 0, err
	}
	c.Water = s.WaterMass().Kilograms()
	c.Strength += moved
	if !b.Up {
		moved = -moved
	}
	c.Charge += moved
	e, err := m.Solve(&c)
	return math.Round(e.PH*100) / 100, err
}

// doable reports whether who knows everything could reach the target with
// these bottles, leaving a fifth of the room under the mark.
func (b *Bench) doable() bool {
	s, err := sim.New(b.Setup, b.Truth)
	if err != nil {
		return false
	}
	room := 0.8 * (b.Setup.Final - b.Setup.Start).Litres()
	for _, j := range []int{coarse, opposite} {
		if s.Need(b.Setup.Stocks[j].Name, b.Setup.Target) < room {
			return true
		}
	}
	return false
}

func ptr(x float64) *float64 { return &x }

func logUniform(r *rand.Rand, low, high float64) float64 {
	return low * math.Pow(high/low, r.Float64())
}

// digits rounds to n significant digits, as people write.
func digits(x float64, n int) float64 {
	p := math.Pow10(n - 1 - int(math.Floor(math.Log10(x))))
	return math.Round(x*p) / p
}
