package practice

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/sim"
)

// Coaching says how much the coach says.
type Coaching string

// The kinds of coaching.
const (
	Full Coaching = "full" // the coach as at the bench
	Ask  Coaching = "ask"  // only when it is asked
	Off  Coaching = "off"  // the person decides alone
)

// Check is an error for a kind of coaching that does not exist.
func (c Coaching) Check() error {
	switch c {
	case Full, Ask, Off:
		return nil
	}
	return fmt.Errorf("it must be full, ask or off, not %q", string(c))
}

// Exercise is a task at the simulated bench, as its file says it.
type Exercise struct {
	Name     string `toml:"name"`     // small letters, digits and hyphens
	Number   int    `toml:"number"`   // for ever; 0 for an exercise of somebody's own
	Formerly string `toml:"formerly"` // the name that it had in earlier versions
	Title    string `toml:"title"`
	Level    int    `toml:"level"`   // the step of the course, 1 to 6
	Teaches  string `toml:"teaches"` // what is learned, without a full stop

	Story string   `toml:"story"`
	Goal  string   `toml:"goal"`
	Learn string   `toml:"learn"` // what to take home, said in the debrief
	Notes string   `toml:"notes"` // for the teacher
	Coach Coaching `toml:"coach"`
	Seed  uint64   `toml:"seed"`
	Speed float64  `toml:"speed"` // 0 is taken as 1
	// Find asks the person to name what is wrong.
	Find bool `toml:"find"`
	// Finish asks for the buffer too; without it the exercise is over when the
	// fault is named.
	Finish *bool `toml:"finish"`

	// Weights are the points of the items of the score, by their keys; they need
	// not be 100 together. Without any they are those of the kind of exercise.
	Weights map[string]float64 `toml:"weights"`

	Plan      recipe.Plan `toml:"plan"`
	Bench     Hidden      `toml:"bench"`
	Faults    []Fault     `toml:"fault"`
	Given     []Given     `toml:"given"`
	Calibrate *Calibrate  `toml:"calibrate"`

	Digest string `toml:"-"` // of the text of the file, 12 hexadecimal digits
	Text   []byte `toml:"-"` // the file
}

// Hidden is what differs from an ordinary bench; what is nil is drawn.
type Hidden struct {
	TauS        *float64  `toml:"tau_s"`
	MixingS     *float64  `toml:"mixing_s"`
	SlowShare   *float64  `toml:"slow_share"`
	SlowTauS    *float64  `toml:"slow_tau_s"`
	Noise       *float64  `toml:"noise"`
	Decimals    *int      `toml:"decimals"`
	Offset      *float64  `toml:"offset"`
	SlopePct    *float64  `toml:"slope_pct"` // of the theory; 100 is perfect
	DropPct     *float64  `toml:"drop_pct"`  // of the planned drop
	StrengthPct []float64 `toml:"strength_pct"`
	AmountPct   *float64  `toml:"amount_pct"`
	WarmC       *float64  `toml:"warm_c"` // above the bench at the start
	HungShare   *float64  `toml:"hung_share"`
	BendPct     *float64  `toml:"bend_pct"`  // added to the slope above pH 7
	Electrode   string    `toml:"electrode"` // ordinary, laboratory, student, old, pickup: what the rest is drawn from
	Recorded    string    `toml:"recorded"`  // name of a recorded electrode of meter/sim, whose noise or answer it has
	Contents    []Content `toml:"contents"`  // in the beaker instead of what the plan says
	Open        bool      `toml:"open"`      // carbon dioxide gets in
	Cold        bool      `toml:"cold"`      // the electrode is slower in the cold
	NoTemp      bool      `toml:"no_temp"`
}

// Content is something that is in the beaker.
type Content struct {
	Reagent string  `toml:"reagent"`
	MMol    float64 `toml:"mmol"`
}

// electrodes are the electrodes that an exercise can name.
var electrodes = map[string]func() sim.Spread{
	"": sim.Ordinary, "ordinary": sim.Ordinary, "laboratory": sim.Laboratory, "student": sim.Student, "old": sim.Old, "pickup": sim.Pickup,
}

// Fault is a fault that is put in.
type Fault struct {
	Name     string  `toml:"name"`
	Strength float64 `toml:"strength"`
	OnsetS   float64 `toml:"onset_s"`
}

// Given is an addition that was made before the person came, and logged.
type Given struct {
	Titrant string  `toml:"titrant"`
	Drops   float64 `toml:"drops"`
	// Fell is what really fell, when the log is wrong; 0 is what was logged.
	Fell float64 `toml:"fell"`
}

// fell is what is in the beaker of it, drops.
func (g Given) fell() float64 { return cmp.Or(max(g.Fell, 0), g.Drops) }

// Calibrate asks for a calibration before the titration: the person picks one
// of the choices of standards. The meter sends mV then.
type Calibrate struct {
	Choices [][]string `toml:"choices"`
}

// Finishes reports whether the buffer has to be brought to its aim.
func (e *Exercise) Finishes() bool { return e.Finish == nil || *e.Finish }

// OwnSeed is the seed of a person, the same for the same name.
func OwnSeed(person string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(person))
	return h.Sum64()%999_983 + 1
}

// Setup is the plan of the exercise, computable.
func (e *Exercise) Setup() (*recipe.Setup, error) {
	s, err := recipe.Compile(e.Plan)
	if err != nil {
		return nil, fmt.Errorf("practice: %s: %w", e.Name, err)
	}
	return s, nil
}

// Recording is where its recorded electrode is from; empty without one.
func (e *Exercise) Recording() string {
	if t, err := sim.Recorded(e.Bench.Recorded); err == nil {
		return t.Source()
	}
	return ""
}

// truth is what is true at the bench of a seed.
func (e *Exercise) truth(s *recipe.Setup, seed uint64) (sim.Truth, error) {
	h := e.Bench
	spread, ok := electrodes[h.Electrode]
	if !ok {
		return sim.Truth{}, fmt.Errorf("practice: %s: no electrode is called %q", e.Name, h.Electrode)
	}
	t := spread().Draw(s, seed)
	scale := 1.0
	if k := s.Sought(); len(h.Contents) > 0 && len(t.Weighed) > k { // as much as was drawn of what is looked for
		scale, t.Weighed = float64(t.Weighed[k].Amount/s.Weighed[k].Amount), nil
	}
	for _, c := range h.Contents {
		r, err := table.ByAmount(c.Reagent)
		if err != nil {
			return t, fmt.Errorf("practice: %s: %w", e.Name, err)
		}
		t.Weighed = append(t.Weighed, recipe.Portion{Reagent: r, Amount: chem.Amount(scale*c.MMol) * chem.Millimole})
	}
	asItIs, ln := func(x float64) float64 { return x }, func(x float64) float64 { return math.Log(x / 100) }
	for _, x := range []struct {
		to, from *float64
		by       func(float64) float64
	}{
		{&t.Tau, h.TauS, asItIs}, {&t.Mixing, h.MixingS, asItIs}, {&t.SlowShare, h.SlowShare, asItIs}, {&t.SlowTau, h.SlowTauS, asItIs},
		{&t.Noise, h.Noise, asItIs}, {&t.Offset, h.Offset, asItIs}, {&t.Warm, h.WarmC, asItIs}, {&t.Hung, h.HungShare, asItIs}, {&t.LnAmount, h.AmountPct, ln},
		{&t.Slope, h.SlopePct, func(x float64) float64 { return x/100 - 1 }}, {&t.Bend, h.BendPct, func(x float64) float64 { return x / 100 }},
	} {
		if x.from != nil {
			*x.to = x.by(*x.from)
		}
	}
	t.CoolTau = 240
	if h.Recorded != "" {
		tape, err := sim.Recorded(h.Recorded)
		if err != nil {
			return t, fmt.Errorf("practice: %s: %w", e.Name, err)
		}
		t.Tape = tape
		if tape.SD > 0 {
			t.Noise = tape.SD
		}
	}
	if h.Decimals != nil {
		t.Decimals = *h.Decimals
	}
	for i := range t.LnDrop {
		if h.DropPct != nil {
			t.LnDrop[i] = ln(*h.DropPct)
		}
	}
	for i, p := range h.StrengthPct[:min(len(h.StrengthPct), len(t.LnStrength))] {
		t.LnStrength[i] = ln(p)
	}
	if h.Open {
		t.CO2 = sim.AirCO2
	}
	if h.Cold {
		t.ColdDouble = sim.ColdDouble
	}
	t.TempSent = !h.NoTemp
	for _, f := range e.Faults {
		t.Faults = append(t.Faults, sim.Fault{Name: f.Name, Strength: f.Strength, Onset: f.OnsetS})
	}
	return t, nil
}

// NewBench is the bench of a seed with what was given before.
func (e *Exercise) NewBench(seed uint64) (*sim.Bench, *recipe.Setup, error) {
	s, err := e.Setup()
	if err != nil {
		return nil, nil, err
	}
	t, err := e.truth(s, seed)
	if err != nil {
		return nil, nil, err
	}
	b, err := sim.New(s, t)
	if err != nil {
		return nil, nil, fmt.Errorf("practice: %s: %w", e.Name, err)
	}
	for _, g := range e.Given {
		if err := b.Dispense(g.Titrant, g.fell(), 0); err != nil {
			return nil, nil, fmt.Errorf("practice: %s: %w", e.Name, err)
		}
	}
	return b, s, nil
}

// Determines reports whether an amount is looked for, and not a pH.
func (e *Exercise) Determines() bool { return e.Plan.Find != nil }
