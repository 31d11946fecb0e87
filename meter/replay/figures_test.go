package replay

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib/calibtest"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/view"
)

// The figures of judgement of this room, each held by the step at which the answer changes.

// row is a segment with a block each 5 s.
func row(ys ...float64) *segment {
	s := &segment{}
	for i, y := range ys {
		s.blocks = append(s.blocks, block{t: 2.5 + 5*float64(i), y: y, n: 1})
	}
	return s
}

func TestBlocksOfReadings(t *testing.T) {
	var s segment
	for _, at := range []float64{0, 4.9, 5.1} {
		s.push(at, 7)
	}
	require.Len(t, s.blocks, 2)
	assert.Equal(t, 2, s.blocks[0].n)
	assert.Equal(t, 7.5, s.blocks[1].t)
}

// A rest is three blocks within 0.008 pH, and within three standard errors beside that.
func TestRest(t *testing.T) {
	for name, c := range map[string]struct {
		ys    []float64
		noise float64
		rests bool
	}{
		"two":        {[]float64{7, 7, 7.2, 7.4, 7.6, 7.8}, 0, false},
		"three":      {[]float64{7, 7, 7, 7.2, 7.4, 7.6}, 0, true},
		"0.007":      {[]float64{7, 7.003, 7.007, 7.2, 7.4, 7.6}, 0, true},
		"0.009":      {[]float64{7, 7.003, 7.009, 7.2, 7.4, 7.6}, 0, false},
		"with noise": {[]float64{7, 7.003, 7.015, 7.2, 7.4, 7.6}, 0.003, true},
		"beyond it":  {[]float64{7, 7.003, 7.019, 7.2, 7.4, 7.6}, 0.003, false},
	} {
		_, ok := row(c.ys...).wanders(0, 0.01, c.noise)
		assert.Equal(t, c.rests, ok, name)
	}
}

// A move is one from 0.03 pH on, from 1.5 tolerances and from five times the noise.
func TestLeastMove(t *testing.T) {
	for _, c := range []struct {
		by, tolerance, noise float64
		moves                bool
	}{
		{0.028, 0.01, 0, false}, {0.032, 0.01, 0, true},
		{0.057, 0.04, 0, false}, {0.063, 0.04, 0, true},
		{0.095, 0.01, 0.02, false}, {0.105, 0.01, 0.02, true},
	} {
		_, ok := row(7, 7, 7, 7+c.by/2, 7+c.by, 7+c.by).wanders(0, c.tolerance, c.noise)
		assert.Equal(t, c.moves, ok, "%+v", c)
	}
}

// A move of which seven tenths are made within 150 s is a step; it begins where a tenth of
// it is made.
func TestStepOrDrift(t *testing.T) {
	over := func(seconds float64) wander {
		ys := []float64{7, 7, 7}
		for at := 5.0; at <= seconds; at += 5 {
			ys = append(ys, 7+at/seconds)
		}
		w, ok := row(append(ys, 8, 8)...).wanders(0, 0.01, 0)
		require.True(t, ok)
		return w
	}
	w := over(200)
	assert.Equal(t, stepped, w.how, "three quarters of it")
	assert.InDelta(t, 12.5+20, w.t, 5.1)
	assert.Equal(t, drifted, over(230).how, "0.65 of it")
}

// What goes on after a rest is the late part of the way before it: in its direction, up to an
// eighth of it, and by no more in three blocks than one and a half times what a rest may.
func TestWhatIsLate(t *testing.T) {
	late := func(came float64, ys ...float64) bool {
		s := row(ys...)
		w, ok := s.wanders(0, 0.01, 0)
		require.True(t, ok)
		return s.late(w, came, 0)
	}
	// 0.058 from the rest to the mean of the last two, never more than 0.011 in three blocks.
	creep := []float64{7, 7.004, 7.0079}
	for y := 7.0135; y < 7.070; y += 0.0055 {
		creep = append(creep, y)
	}
	way := (creep[len(creep)-1]+creep[len(creep)-2])/2 - creep[2]
	end := creep[2] + way
	assert.True(t, late(end-way/0.115, creep...))
	assert.False(t, late(end-way/0.125, creep...))
	assert.False(t, late(end+1, creep...), "the other way")
	assert.True(t, late(6, creep...))
	faster := append([]float64{}, creep...)
	for i := 6; i < len(faster); i++ {
		faster[i] += 0.0005 // 0.0115 in three blocks
	}
	assert.True(t, late(6, faster...))
	for i := 6; i < len(faster); i++ {
		faster[i] += 0.001 // 0.0125
	}
	assert.False(t, late(6, faster...), "a drop that nobody recorded")
}

// opened is a builder that has taken the start of a run.
func opened(t *testing.T) *builder {
	t.Helper()
	b := newBuilder()
	require.NoError(t, b.take(runtest.First(runtest.Tris())))
	return b
}

func read(at float64) journal.Event {
	return journal.Event{T: at, At: runtest.Wall(at), Kind: journal.Read, Reading: &journal.Reading{PH: runtest.Num(9.6), TempC: runtest.Num(22), Decimals: 2}}
}

// States are kept a second apart for eight minutes, and looked at for faults each half minute.
func TestWhatIsKeptOfARun(t *testing.T) {
	b := opened(t)
	require.NoError(t, b.take(read(1.0)))
	n := b.kept
	require.NoError(t, b.take(read(1.9)))
	assert.Equal(t, n, b.kept)
	require.NoError(t, b.take(read(2.1)))
	assert.Equal(t, n+1, b.kept)
	require.NoError(t, b.take(read(29)))
	assert.Zero(t, b.looked)
	require.NoError(t, b.take(read(31)))
	assert.Equal(t, 29.0, b.looked, "as it stood before that reading")
	for at := 32.0; at < 532; at++ {
		b.fold.State.T = at
		b.remember()
	}
	assert.Equal(t, 480, b.kept)
	assert.Equal(t, 52.0, b.state(0).T)
}

// Ten drops whose fall does not show began 4.5 s and half a second a drop before their record.
func TestWhenDropsBegan(t *testing.T) {
	b := opened(t)
	en := &view.Entry{From: 100}
	en.T, en.Drops = 100, 10
	assert.InDelta(t, 90.5, b.onset(en), 1e-9)
	en.From = 95
	assert.InDelta(t, 95, b.onset(en), 1e-9)
}

// A reading stands for itself to 0.03 pH, or to 0.05 where the coach went by it.
func TestAReadingThatStandsForItself(t *testing.T) {
	for _, c := range []struct {
		sd    float64
		do    coach.Action
		state probe.State
		want  bool
	}{
		{0.028, coach.Wait, probe.Settling, true}, {0.032, coach.Wait, probe.Settling, false},
		{0.048, coach.Add, probe.Settling, true}, {0.052, coach.Stop, probe.Settling, false},
		{0.4, coach.Wait, probe.Settled, true}, {0.01, coach.Add, probe.Empty, false},
	} {
		s := stop{Standing: Standing{SD: c.sd}, est: probe.Estimate{State: c.state}}
		assert.Equal(t, c.want, s.speaks(coach.Advice{Do: c.do}), "%+v", c)
	}
}

// stops are compositions of a beaker, as they are filled in.
func stopAt(s run.State, ph, sd float64) stop {
	b := s.Bench()
	return stop{Standing: Standing{PH: ph, SD: sd, Shown: ph}, state: s, est: probe.Estimate{State: probe.Settling}, comp: b.Water.Plus(1, b.Weighed)}
}

func TestTheFirstAndTheLastSpeakForThemselves(t *testing.T) {
	s := opened(t).fold.State
	for sd, want := range map[float64]bool{0.45: true, 0.55: false} {
		p := &path{stops: []stop{stopAt(s, 9.6, sd), stopAt(s, 9.5, sd)}}
		p.locate()
		assert.Equal(t, want, p.stops[0].known && p.stops[1].known, "± %g", sd)
	}
}

// A vague reading between two others stands for itself where they lie three of its spreads apart.
func TestAVagueReadingThatTells(t *testing.T) {
	s := opened(t).fold.State
	for apart, want := range map[float64]bool{2.9: false, 3.1: true} {
		p := &path{stops: []stop{stopAt(s, 9.6, 0.01), stopAt(s, 9.4, 0.1), stopAt(s, 9.2, 0.01)}}
		p.stops[0].known, p.stops[2].known = true, true
		p.stops[1].extraSD, p.stops[2].extra = 1, apart
		p.telling()
		assert.Equal(t, want, p.stops[1].known, "%g spreads", apart)
	}
}

// What is filled in may be 0.3 pH, or three spreads, from what was read, and 0.3 short of the
// display.
func TestWhatIsFilledIn(t *testing.T) {
	s := opened(t).fold.State
	for _, c := range []struct {
		sd, shown, fill float64
		ph, then        float64
	}{
		{0.01, 9, 9.28, 9.28, 0.05}, {0.01, 9, 9.32, 9, 0.01},
		{0.2, 9, 9.57, 9.57, 0.05}, {0.2, 9, 9.63, 9, 0.2},
		{0.01, 9.25, 8.97, 8.97, 0.05}, {0.01, 9.25, 8.93, 9.25, 0.5},
	} {
		st := stopAt(s, 9, c.sd)
		st.Shown = c.shown
		st.fill(c.fill, 8)
		assert.Equal(t, [2]float64{c.ph, c.then}, [2]float64{st.PH, st.SD}, "%+v", c)
	}
}

// Both ends of a move that nothing on record explains are known to 0.01 pH.
func TestEndsOfAMove(t *testing.T) {
	b := opened(t)
	require.NoError(t, b.take(read(1)))
	p := &path{}
	p.arrive(stop{moved: begun}, &ending{state: b.fold.State, t: 35}, *row(7, 7, 7, 7.2, 7.4, 7.6, 7.6), nil, 0)
	require.Len(t, p.stops, 2)
	for i, ph := range []float64{7, 7.6} {
		assert.Equal(t, [2]float64{ph, 0.01}, [2]float64{p.stops[i].PH, p.stops[i].SD})
		assert.True(t, p.stops[i].known)
	}
}

// Programs read these for what is no number of additions.
func TestWhatIsNoNumberOfAdditions(t *testing.T) {
	assert.Equal(t, -1, untold)
	assert.Equal(t, -2, stuck)
}

func TestABeakerIsRestlessForAWhile(t *testing.T) {
	assert.Equal(t, 125.0, (&stop{moved: dosed, since: 100, said: 105}).restless())
	assert.Equal(t, 100.0, (&stop{moved: begun, since: 100, said: 105}).restless())
}

// given are additions of a bottle: the labelled charge and the response of each.
func given(list ...[2]float64) *path {
	p := &path{stops: []stop{{moved: begun}}}
	extra := 0.0
	for _, x := range list {
		extra += x[0] * (x[1] - 1)
		p.stops = append(p.stops, stop{moved: dosed, charge: x[0], response: x[1], extra: extra, sure: 9})
	}
	return p
}

// Other additions are compared with where they were a tenth of it at least; they tell a
// bottle that is stronger from something that fell beside from 1.3 on, or from 0.45 of the
// surplus.
func TestTheOtherAdditionsOfABottle(t *testing.T) {
	_, ok := given([2]float64{1, 2}, [2]float64{0.095, 2}).compared(1)
	assert.False(t, ok)
	r, ok := given([2]float64{1, 2}, [2]float64{0.105, 1.7}).compared(1)
	assert.True(t, ok)
	assert.InDelta(t, 1.7, r, 1e-9)
	for _, c := range []struct {
		one, others float64
		want        Cause
	}{{2, 1.25, Unlogged}, {2, 1.35, Stronger}, {1.4, 1.15, Unlogged}, {1.4, 1.21, Stronger}} {
		assert.Equal(t, c.want, given([2]float64{1, c.one}, [2]float64{1, c.others}).surplus(1), "%+v", c)
	}
}

// Another bottle did more as well where it did 1.3 times as much, by two spreads.
func TestAnotherBottleDidMoreAsWell(t *testing.T) {
	for _, c := range []struct {
		response, sure float64
		want           bool
	}{{1.25, 5, false}, {1.35, 5, true}, {1.5, 1.9, false}, {1.5, 2.1, true}} {
		p := given([2]float64{1, 2}, [2]float64{1, c.response})
		p.stops[2].stock, p.stops[2].sure = 1, c.sure
		assert.Equal(t, c.want, p.otherToo(1), "%+v", c)
	}
}

// An addition moved the reading against its bottle by more than 0.03 pH, or three spreads.
func TestTheOtherWay(t *testing.T) {
	of := func(by, sd float64) bool {
		return otherWay(&stop{Standing: Standing{PH: 7, SD: sd}}, &stop{Standing: Standing{PH: 7 - by}, charge: 1})
	}
	assert.False(t, of(0.028, 0))
	assert.True(t, of(0.032, 0))
	assert.False(t, of(0.055, 0.02))
	assert.True(t, of(0.065, 0.02))
	assert.False(t, of(-1, 0))
}

// What a bottle turned out to bring is believed from a twentieth to twenty times.
func TestWhatABottleTurnedOutToBring(t *testing.T) {
	for response, want := range map[float64]float64{19: 19, 22: 20, 0.06: 0.06, 0.04: 0.05} {
		assert.InDelta(t, want, given([2]float64{1, response}).strength(0, 0), 1e-9)
	}
}

// A reading is blamed that was 0.02 pH behind.
func TestAReadingThatLags(t *testing.T) {
	s := stop{Standing: Standing{PH: 7}, est: probe.Estimate{State: probe.Settling, Now: 6.982}}
	assert.False(t, s.lags(1))
	s.est.Now = 6.978
	assert.True(t, s.lags(1))
	assert.False(t, s.lags(-1))
	s.est.State = probe.Settled
	assert.False(t, s.lags(1))
}

func TestAReadingThatWasWaitedFor(t *testing.T) {
	assert.Equal(t, 0.002, restSD(0.001, 0.1))
	assert.Equal(t, 0.003, restSD(0.003, 0.1))
	assert.Equal(t, 0.05, restSD(1, 0.1))
}

func TestWordsOfFigures(t *testing.T) {
	assert.Equal(t, "900 times", times(900))
	assert.Equal(t, "more than a thousand times", times(1100))
	assert.Equal(t, "7.00", Standing{T: 1, PH: 7, SD: 0.018}.Text("-"))
	assert.Equal(t, "~7.00", Standing{T: 1, PH: 7, SD: 0.022}.Text("-"))
	s := opened(t).fold.State
	for by, said := range map[float64]bool{0.27: false, 0.33: true, -0.33: true} {
		a, b := stopAt(s, 7, 0), stopAt(s, 7.2, 0)
		a.TempC, b.TempC = 22, 22+by
		words := (&Overshoot{Cause: Drift}).why(&a, &b, false)
		assert.Equal(t, said, len(words) > len("The reading drifted from 0.00 to 0.00 over 0:00."), "%g °C: %s", by, words)
	}
	step := &Step{ML: 10, ByLabel: 1, Titrant: "acid"}
	for ml, ordered := range map[float64]bool{10.008: true, 10.012: false} {
		step.Advised = journal.Advice{Do: "add", Titrant: "acid", ML: ml, PHAfter: 7}
		_, _, _, was := step.Expected()
		assert.Equal(t, ordered, was, "%g mL", ml)
	}
}

// Curves lead a quarter past the aim, or a tenth past what was given.
func TestHowFarCurvesLead(t *testing.T) {
	for _, c := range [][3]float64{{4, 1, 5}, {4, 4.7, 5}, {4, 4.8, 5.28}, {4, -1, -1.1}, {-4, -4.8, -5.28}} {
		assert.InDelta(t, c[2], reach(c[0], c[1]), 1e-9, "%v", c)
	}
	for sd, tells := range map[float64]bool{0.18: true, 0.22: false} {
		assert.Equal(t, tells, tellsCurve(&view.View{HasReading: true, Settling: probe.Estimate{SD: sd}}), "± %g", sd)
	}
}

// A settled reading counts as past the aim from half of a last digit beyond the tolerance on.
func TestHowFarFromTheAim(t *testing.T) {
	s := opened(t).fold.State
	require.InDelta(t, 0.02, s.Setup.Tolerance, 1e-12)
	assert.InDelta(t, 0.025, (&stop{state: s}).within(), 1e-12)
}

// The readings are traced as the run took them: mV by its calibration, also where a pH comes
// beside them, and by an ideal electrode where there is none.
func TestTraceOfMillivolts(t *testing.T) {
	line, err := json.Marshal(calibtest.Made("E7", 0, calibtest.Glass{SlopePct: 97, OffsetMV: 5, TauS: 4}))
	require.NoError(t, err)
	mv, meters := runtest.Num(-91.2), runtest.Num(8.2)
	for name, c := range map[string]struct {
		calibration string
		ph          *float64
		want        float64
	}{
		"calibrated":      {string(line), nil, 7 + (91.2+5)/(0.97*58.56)},
		"beside its pH":   {string(line), meters, 7 + (91.2+5)/(0.97*58.56)},
		"never":           {"null", nil, 7 + 91.2/58.56},
		"never, sends pH": {"null", meters, 8.2},
	} {
		b := opened(t)
		require.NoError(t, b.take(journal.Event{At: runtest.Dawn, Kind: journal.Calibrated, Calibration: json.RawMessage(c.calibration)}))
		require.NoError(t, b.take(journal.Event{T: 1, At: runtest.Wall(1), Kind: journal.Read, Reading: &journal.Reading{MV: mv, PH: c.ph, TempC: runtest.Num(22), Decimals: 1}}))
		b.finish()
		trace := b.run.Trace(2, 1)
		require.Len(t, trace, 1)
		assert.InDelta(t, c.want, trace[0].PH, 0.003, name)
	}
}
