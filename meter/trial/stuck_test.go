package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// TestNeverStuck: whatever bench, hands and disturbances, on steady readings the
// program says within a minute what to do, or what may be done instead of waiting on,
// asks nothing twice, and shows no NaN. One person in two goes on then.
//
// A usual run plays a few benches. HALFDROP_STUCK=2000 go test ./meter/trial -run
// NeverStuck -v -timeout 3h plays so many, from HALFDROP_STUCK_SEED on, and lists what
// went wrong; HALFDROP_STUCK_STORY=SEED tells one.
func TestNeverStuck(t *testing.T) {
	runs, seed := 4, uint64(1)
	if n, err := strconv.Atoi(os.Getenv("HALFDROP_STUCK")); err == nil {
		runs = n
	}
	if n, err := strconv.ParseUint(os.Getenv("HALFDROP_STUCK_SEED"), 10, 64); err == nil {
		seed = n
	}
	if n, err := strconv.ParseUint(os.Getenv("HALFDROP_STUCK_STORY"), 10, 64); err == nil {
		runs, seed = 1, n
	}
	story := os.Getenv("HALFDROP_STUCK_STORY") != ""
	var mu sync.Mutex
	counts, ends := map[string]int{}, map[string]int{}
	longest, waited, offers, goesOn := 0.0, 0, 0, 0
	var waits []string
	work := make(chan uint64)
	var all sync.WaitGroup
	for range 2 {
		all.Go(func() {
			for s := range work {
				w := newWorld(t, s)
				w.told = story
				w.play()
				mu.Lock()
				ends[w.end]++
				offers, goesOn = offers+w.offers, goesOn+w.goesOn
				longest = math.Max(longest, w.longest)
				if w.longest > soon {
					waited++
					waits = append(waits, fmt.Sprintf("%s %.0f s (seed %d)", w.b.Tier, w.longest, s))
				}
				for _, wrong := range w.wrong {
					what, _, _ := strings.Cut(wrong, ":")
					counts[what]++
					t.Logf("seed %d, %s: %s", s, w.what, wrong)
					assert.Fail(t, wrong, "seed %d", s)
				}
				mu.Unlock()
			}
		})
	}
	if seed == 1 {
		for _, s := range []uint64{1038, 3152, 10891, 11316, 11456, 720299, 721046, 721436, 722054, 722249, 722570, 722872, 723880} { // waited for ever once, asked twice, or flickered
			work <- s
		}
	}
	for i := range runs {
		work <- seed + uint64(i)
		if i%100 == 99 {
			t.Logf("%d of %d", i+1, runs)
		}
	}
	close(work)
	all.Wait()
	slices.Sort(waits)
	t.Logf("above %.0f s: %s", soon, strings.Join(waits, ", "))
	t.Logf("%d runs: ends %v; wrong %v; the longest wait on steady readings %.0f s, above %.0f s in %d runs; something offered in %d s, taken %d times", runs, ends, counts, longest, soon, waited, offers, goesOn)
}

// What is asked of the program, s.
const (
	soon       = 60.0  // of steady readings, until something is said
	patient    = 300.0 // until which the coach may wait for a better reading of a steady one
	steadyFor  = 20.0  // how long the electrode has to have stood to be steady
	steadyBy   = 0.006 // pH, and within what
	again      = 60.0  // within which the same CHECK is the same
	worldEnds  = 900.0
	worldAdds  = 40
	orderLeast = 5.0 // for which an order stands
)

// world is a bench with everything that can go wrong at it, and a person who looks at
// each CHECK and answers it.
type world struct {
	t    *testing.T
	r    *rand.Rand
	b    *Bench
	sim  *sim.Bench
	k    *keep.Keeper
	h    *hands.Hands
	what string
	told bool

	sec    float64
	shown  []float64 // what the electrode stood at, the last seconds
	steady float64   // since when all is steady
	giving *giving
	order  view.View
	gives  float64 // drops that are really given of the order

	mishap  string  // what happens once in the run
	at      float64 // s, when
	until   float64 // s, while nothing is sent, or it is out
	strayed bool    // something fell that is on no record
	took    string  // the bottle that an addition was from instead of the one on record
	lost    int64   // an addition on record that did not fall
	bottles int

	asked    string
	looksAt  float64
	answered map[string]float64 // when a CHECK was answered, since the last addition
	ordered  float64            // since when the same order stands
	last     view.View

	gone    string // a CHECK that went without an answer
	goneAt  float64
	longest float64
	slow    float64 // s more than usual until a CHECK is answered
	hurries bool    // goes on with what is safe after a minute of steady readings
	offers  int     // seconds in which something was offered
	goesOn  int     // times that it was taken
	wrong   []string
	end     string
}

var mishaps = []string{"", "", "", "splash", "missed", "undo", "out", "wild", "line", "pause", "freeze", "wrong amount", "other bottle"}

var ailments = []string{"vortex", "dry_tip", "cap", "lead", "clogged", "hole", "wiped", "unstirred", "zones", "co2", "warm", "hung", "wrong_titrant", "weak_titrant", "aged", "temperature"}

func newWorld(t *testing.T, seed uint64) *world {
	t.Helper()
	w := &world{t: t, r: rand.New(rand.NewPCG(seed, 0x57cc)), answered: map[string]float64{}}
	tier := Tier(w.r.IntN(int(tierCount)))
	b, err := Draw(tier, seed)
	require.NoError(t, err)
	w.b = b
	var parts []string
	if w.r.Float64() < 0.3 {
		f := sim.Fault{Name: ailments[w.r.IntN(len(ailments))]}
		if w.r.IntN(2) == 0 {
			f.Onset = 20 + 200*w.r.Float64()
		}
		b.Truth.Faults = append(b.Truth.Faults, f)
		parts = append(parts, fmt.Sprintf("%s from %.0f s", f.Name, f.Onset))
	}
	setup, drawn := b.Setup, b.Plan
	b.Plan.Titrants = slices.Clone(b.Plan.Titrants)
	switch x := w.r.Float64(); {
	case x < 0.08: // nobody weighed
		b.Plan.Weighed = nil
		parts = append(parts, "unweighed")
	case x < 0.16: // one bottle only
		b.Plan.Titrants = b.Plan.Titrants[:1]
		parts = append(parts, "one bottle")
	case x < 0.24: // hardly any room
		n := *b.Plan.Beaker.StartML + 1.05*b.Drops*dropUL*1e-3
		b.Plan.Beaker.FinalML = &n
		parts = append(parts, "hardly any room")
	case x < 0.30: // a large drop
		for i := range b.Plan.Titrants {
			b.Plan.Titrants[i].DropUL = ptr(400)
		}
		parts = append(parts, "large drops")
	}
	if len(b.Plan.Weighed) > 0 {
		if s, err := recipe.Compile(b.Plan); err == nil {
			b.Setup, setup = s, s
		} else {
			b.Plan = drawn
		}
	}
	w.mishap, w.at = mishaps[w.r.IntN(len(mishaps))], 20+250*w.r.Float64()
	if w.mishap != "" {
		parts = append(parts, fmt.Sprintf("%s at %.0f s", w.mishap, w.at))
	}
	w.sim, err = sim.New(setup, b.Truth)
	require.NoError(t, err, "seed %d", seed)
	w.k, err = keeper(b, nil)
	require.NoError(t, err, "seed %d", seed)
	w.h = hands.New(hands.Kind(w.r.IntN(3)), seed)
	w.hurries = seed%2 == 0
	w.what = fmt.Sprintf("%s %s, %s; %s", tier, b.System, b.Gross, strings.Join(parts, ", "))
	return w
}

func (w *world) fail(format string, a ...any) {
	if len(w.wrong) < 3 {
		w.wrong = append(w.wrong, fmt.Sprintf(format, a...))
	}
}

// take puts an event on record.
func (w *world) take(e journal.Event) {
	e.T = w.sec
	if err := w.k.Take(e); err != nil {
		w.fail("refused: %s at %.0f s: %v", e.Kind, w.sec, err)
	}
	if e.Kind != journal.Read {
		w.steady = w.sec
	}
}

func (w *world) tell(format string, a ...any) {
	if w.told {
		w.t.Logf("%5.0f s  "+format, append([]any{w.sec}, a...)...)
	}
}

func (w *world) play() {
	w.tell("%s", w.what)
	for w.sec < worldEnds && w.end == "" && len(w.wrong) == 0 {
		w.second()
	}
	if w.end == "" {
		w.end = "time"
	}
}

func (w *world) second() {
	w.sec++
	if g := w.giving; g != nil {
		for _, f := range g.Due(w.sec) {
			w.sim.Advance(f.T)
			g.pour.Fall(f.Share)
			w.steady = w.sec
		}
	}
	w.sim.Advance(w.sec)
	w.happens()
	w.reads()
	w.looksSteady()
	v := w.k.Look(w.sec)
	w.judge(v)
	w.acts(v)
	w.last = v
}

// looksSteady notes whether the electrode has stood for long enough.
func (w *world) looksSteady() {
	w.shown = append(w.shown, w.sim.Shown())
	if n := len(w.shown) - int(steadyFor); n > 0 {
		w.shown = w.shown[n:]
	}
	if len(w.shown) < int(steadyFor) || slices.Max(w.shown)-slices.Min(w.shown) > steadyBy || w.ails() {
		w.steady = w.sec
	}
}

// ails reports whether something is wrong with what the meter sends.
func (w *world) ails() bool {
	for _, f := range w.b.Truth.Faults {
		if w.sim.Ails(f.Name) && f.Name != "wrong_titrant" && f.Name != "weak_titrant" {
			return true
		}
	}
	return w.b.Truth.Pickup > 0 || w.b.Truth.Noise > 0.02
}

// judge holds what is said against what is asked of it.
func (w *world) judge(v view.View) {
	if v.Advice.Do != w.last.Advice.Do || v.Advice.Reason != w.last.Advice.Reason {
		w.tell("%s | end %.3f ± %.4f (%.4f) %s, truly %.3f, aim %.3f", v.Sentence(), v.Settling.End, v.Settling.SD, v.Settling.FinalSD, v.Settling.State, w.sim.True(), v.Advice.Aim)
	}
	for name, x := range map[string]float64{"pH": v.PH, "aim": v.Advice.Aim, "after": v.Advice.After, "low": v.Advice.Low, "high": v.Advice.High, "chance": v.Advice.Chance, "mark": v.Mark} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			w.fail("NaN: %s at %.0f s: %s", name, w.sec, v.Sentence())
		}
	}
	if text := v.Sentence() + v.Why(); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
		w.fail("NaN: in words at %.0f s: %s", w.sec, text)
	}
	w.stands(v)
	w.flickers(v)
	if v.Advice.Do != coach.Wait || v.Advice.Reason == coach.HandsOff || w.giving != nil || !w.sends() {
		if v.Advice.Do != coach.Check {
			w.steady = w.sec
		}
		return
	}
	switch v.Advice.Reason {
	case coach.NoTitrant, coach.NoWayBack, coach.DropTooBig, coach.NoRoom:
		w.steady = w.sec
		return
	}
	idle := w.sec - w.steady
	if v.Offer != nil {
		w.offers++
		return
	}
	w.longest = math.Max(w.longest, idle)
	if idle > patient {
		w.fail("silent: %.0f s of steady readings and nothing but %s (%s) at %.0f s; end %.3f ± %.4f (%.4f) %s, truly %.3f, aim %.3f", idle, v.Sentence(), v.Advice.Reason, w.sec, v.Settling.End, v.Settling.SD, v.Settling.FinalSD, v.Settling.State, w.sim.True(), v.Advice.Aim)
	}
}

// flickers: a CHECK of the coach that goes without an answer does not come again at
// once. Of one that the readings ask, a reading that moves is an answer.
func (w *world) flickers(v view.View) {
	old := w.last
	if old.Advice.Do == coach.Check && v.Advice.Do == coach.Wait && v.Advice.Reason == coach.Settling &&
		!slices.Contains([]coach.Reason{coach.Stuck, coach.Moved, coach.Faulty, coach.Unsaid}, old.Advice.Reason) {
		w.gone, w.goneAt = strings.Join(old.Codes(), ","), w.sec
	}
	if v.Advice.Do == coach.Check && w.gone == strings.Join(v.Codes(), ",") && w.sec-w.goneAt < 10 && w.sec-w.steady > 2 && w.answered[""] < w.goneAt-2 {
		w.fail("flicker: %s (%s) again after %.0f s, at %.0f s", v.Sentence(), v.Advice.Reason, w.sec-w.goneAt, w.sec)
	}
}

// sends reports whether the meter sends without pauses.
func (w *world) sends() bool { return w.until == 0 }

// stands: an order is replaced by another, or by waiting, only after a while.
func (w *world) stands(v view.View) {
	old := w.last
	same := v.Advice.Do == coach.Add && v.Titrant == old.Titrant && v.Advice.Drops == old.Advice.Drops
	switch {
	case old.Advice.Do != coach.Add || old.Falling != nil:
		w.ordered = w.sec
	case same || v.Falling != nil || v.Advice.Do == coach.Check || w.k.State.T > w.sec:
	case w.sec-w.ordered < orderLeast && v.Settling.State != old.Settling.State && v.Advice.Do == coach.Wait:
	case v.Advice.Do == coach.Wait && (v.Advice.Reason == coach.Stale || v.Advice.Reason == coach.Faulty || v.Advice.Reason == coach.NoReading):
	case w.sec-w.ordered < orderLeast && w.answered[""] < w.ordered && w.giving == nil && w.steady < w.sec-1:
		w.fail("order: %s after %.0f s became %s (%s) at %.0f s", old.Sentence(), w.sec-w.ordered, v.Sentence(), v.Advice.Reason, w.sec)
	}
	if !same {
		w.ordered = w.sec
	}
}
