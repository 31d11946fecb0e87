package sim

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
)

// Figures of the faults at strength 1. Where a source is named the figure is
// its; the others are a choice of this project.
const (
	deadTime     = 14.0  // s, until titrant reaches the electrode of its own
	zoneShare    = 1.5   // of a dose that the electrode sees too much at first
	zoneSlower   = 4.0   // times the mixing time, until it is spread
	vortexNoise  = 9.0   // times the noise of a calm beaker
	vortexSpike  = 0.12  // pH
	dryReach     = 2.5   // pH, standard deviation of an electrode in the air
	dryPace      = 4.0   // s
	storagePH    = 6.4   // in the cap
	crackedLeft  = 0.02  // share of the answer that is left; near 0 mV in any standard (ASTM D1287, seen)
	leadPace     = 0.03  // pH/s; an open input was seen to go by 1 pH in 3 s
	cloggedTau   = 6.0   // times slower
	cloggedReach = 0.02  // pH, moves with the stirrer
	cloggedThin  = 0.10  // pH per decade of ionic strength below 0.1
	holeDrift    = 0.03  // pH/min
	holeJump     = 0.08  // pH, when touched
	agedTau      = 5.0   // times slower: 20–60 s instead of 2–10 (derived practice figure)
	agedSlope    = 0.08  // of the slope; below 95 % is an end of life (seen)
	wipedJump    = 0.30  // pH
	wipedFades   = 25.0  // s
	misreadShift = 0.14  // pH: 7.00 − 6.86, primary standard at 25 °C
	tooWarm      = 10.0  // °C above the bench
	coolsIn      = 300.0 // s
	offByC       = 15.0  // °C
	airCO2       = 20.0  // times the usual uptake
	carryShare   = 0.25  // of the difference to the solution before
	carryFades   = 45.0  // s
	hungDrops    = 1.0
	driftsIn     = 1200.0 // s in which an electrode gets slower or quicker (within a session: measured)
	pickupShare  = 0.5    // of the readings that stand on the upper line of a pick-up (measured)
	pickupSpread = 0.1    // of its height, reading by reading
	spiltDrops   = 8.0
	otherDropper = 1.5 // times the planned drop: a tip of 3 mm instead of 2 mm gives so much more (derived)
)

// staleShare is the slope of an open pH 10 standard: 10.04 fell to 9.89 in a
// day (seen); the meter makes 3.01 pH out of what is left of them.
const staleShare = 3.01/(3.01-0.15) - 1

// swappedSum is the sum of the standards 4.01 and 7.00: taken for each other,
// the meter shows it less the pH.
const swappedSum = 11.01

// lag is how many times slower than healthy the electrode is.
func (b *Bench) lag() float64 {
	k := 1.0
	if d := b.truth.ColdDouble; d > 0 {
		k = math.Exp2(math.Max(0, 25-float64(b.tempAt(b.t))) / d)
	}
	k *= math.Exp(b.truth.LnDrift * math.Min(b.t/driftsIn, 1))
	if !b.ailing {
		return k
	}
	return k * (1 + (agedTau-1)*b.has(aged, b.t)) * (1 + (cloggedTau-1)*b.has(clogged, b.t))
}

// ailed is the pH that an electrode with faults gives to the meter.
func (b *Bench) ailed(y float64) float64 {
	t := b.t
	since := func(i ill) float64 { return t - b.ills[i].from }
	if s := b.has(carryOver, t); s > 0 {
		y += carryShare * s * (b.before() - y) * math.Exp(-since(carryOver)/carryFades)
	}
	if s := b.has(clogged, t); s > 0 {
		thin := math.Max(0, math.Log10(0.1/math.Max(b.local.Strength, 1e-5)))
		y += s * (cloggedThin*thin + cloggedReach*b.wander(clogged, 12))
	}
	if s := b.has(hole, t); s > 0 {
		y += s * (holeDrift*since(hole)/60 + holeJump*gauss(b.truth.Seed, uint64(hole), uint64(b.knocks)))
	}
	if s := b.has(wiped, t); s > 0 {
		y += wipedJump * s * math.Exp(-since(wiped)/wipedFades)
	}
	if s := b.has(cracked, t); s > 0 {
		y = 7 + (y-7)*math.Pow(crackedLeft, s)
	}
	if b.has(capOn, t) > 0 {
		y = storagePH
	}
	if s := b.has(dryTip, t); s > 0 {
		y = 7 + dryReach*s*b.wander(dryTip, dryPace)
	}
	if s := b.has(lead, t); s > 0 {
		y = b.floating(y, s*leadPace*since(lead))
	}
	return y
}

// floating is an open input: from where it was, on in one direction.
func (b *Bench) floating(y, gone float64) float64 {
	if !b.open {
		b.open, b.openAt = true, y
	}
	if b.truth.Seed%2 == 0 {
		gone = -gone
	}
	return b.openAt + gone
}

// before is the pH of what the electrode stood in before the beaker.
func (b *Bench) before() float64 {
	if b.truth.Before != 0 {
		return b.truth.Before
	}
	return rinsed
}

// miscalibrated is what a meter with faults makes of what it should show.
func (b *Bench) miscalibrated(y float64) float64 {
	t := b.t
	if s := b.has(aged, t); s > 0 {
		y = 7 + (y-7)*(1-agedSlope*s)
	}
	if b.has(swapped, t) > 0 {
		y = swappedSum - y
	}
	if s := b.has(misread, t); s > 0 {
		y += misreadShift * s
	}
	if s := b.has(stale, t); s > 0 && y > 7 {
		y = 7 + (y-7)*(1+staleShare*s)
	}
	if s := b.has(wrongTemp, t); s > 0 {
		k := float64(b.tempAt(t)) + 273.15
		y = 7 + (y-7)*k/(k+offByC*s)
	}
	return y
}

// noisy is the noise of this reading, pH.
func (b *Bench) noisy(r *rand.Rand) float64 {
	sd := b.truth.Noise
	hard := math.Max(0, b.truth.Stir-2) + b.has(vortex, b.t)
	if hard == 0 && b.truth.Tape != nil && b.truth.Tape.More != nil {
		return b.truth.Tape.more(b.t, mix(b.truth.Seed))
	}
	if hard == 0 {
		n := sd * r.NormFloat64()
		if b.truth.Pickup > 0 && r.Float64() < pickupShare {
			n += b.truth.Pickup * (1 + pickupSpread*r.NormFloat64())
		}
		return n
	}
	n := math.Max(sd, 0.002) * (1 + (vortexNoise-1)*hard) * r.NormFloat64()
	if r.Float64() < 0.08*hard {
		n += vortexSpike * hard * r.NormFloat64()
	}
	return n
}

// wander is a smooth random course in time of standard deviation about 1, the
// same for the same seed however often it is looked at.
func (b *Bench) wander(i ill, pace float64) float64 {
	n := math.Floor(b.t / pace)
	x := b.t/pace - n
	x = x * x * (3 - 2*x)
	return (1-x)*gauss(b.truth.Seed, uint64(i), uint64(n)) + x*gauss(b.truth.Seed, uint64(i), uint64(n)+1)
}

// gauss is the normal random number of a place in a table that nobody wrote down.
func gauss(seed, row, place uint64) float64 {
	h := mix(seed ^ mix(row<<32^mix(place)))
	u := (float64(h>>11) + 0.5) / (1 << 53)
	v := float64(mix(h)>>11) / (1 << 53)
	return math.Sqrt(-2*math.Log(u)) * math.Cos(2*math.Pi*v)
}

// mix is the finaliser of splitmix64 (Steele, Lea and Flood 2014; from memory).
func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// weighed is what was really weighed in, with the mistakes that were made.
func (b *Bench) weighed() (chem.Solution, error) {
	if b.ills[wrongSalt].strength > 0 {
		list := slices.Clone(b.setup.Weighed)
		other, ok := otherForm(list[0].Reagent)
		if !ok {
			return chem.Solution{}, fmt.Errorf("sim: %w: %s has no other solid form to be mistaken for", ErrFault, list[0].Reagent.Name)
		}
		list[0].Reagent = other
		return recipe.Dissolved(list), nil
	}
	content := b.setup.Content()
	if b.truth.Weighed != nil {
		content = recipe.Dissolved(b.truth.Weighed)
	}
	if s := b.ills[halfBuffer].strength; s > 0 {
		content = content.Scale(math.Pow(0.5, s))
	}
	return content, nil
}

// otherForm is a solid of the same buffer with other protons.
func otherForm(r table.Reagent) (table.Reagent, bool) {
	for _, o := range table.Reagents() {
		if o.Solid() && sameBuffer(r, o) && o.Spectators() != r.Spectators() {
			return o, true
		}
	}
	return table.Reagent{}, false
}

func sameBuffer(a, b table.Reagent) bool {
	x, y := buffersOf(a), buffersOf(b)
	return len(x) > 0 && maps.Equal(x, y)
}

func buffersOf(r table.Reagent) map[string]int {
	out := map[string]int{}
	for _, p := range r.Parts {
		if p.System != nil {
			out[p.System.Name] += p.Count
		}
	}
	return out
}
