package practice_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/sim"
)

func TestBuiltInExercises(t *testing.T) {
	all, err := practice.Exercises()
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(all), 24)
	faults, names, numbers, steps, skills := 0, map[string]bool{}, map[int]bool{}, map[int]int{}, map[practice.Skill]float64{}
	for i, e := range all {
		assert.False(t, names[e.Name] || numbers[e.Number], "%s twice", e.Name)
		names[e.Name], numbers[e.Number] = true, true
		steps[e.Level]++
		if e.Find {
			faults++
		}
		if i > 0 {
			assert.GreaterOrEqual(t, e.Level, all[i-1].Level, "graded")
		}
		assert.NotEmpty(t, e.Notes, "%s: the teacher wants notes", e.Name)
		assert.NotEmpty(t, e.Teaches, "%s: teaches says what is learned", e.Name)
		assert.NotEmpty(t, e.Weights, "%s: [weights] says what it gives points for", e.Name)
		for _, s := range practice.Skills {
			skills[s] += e.Weighs(s)
		}
		_, err := practice.Find(e.Name)
		assert.NoError(t, err)
	}
	for n := range len(all) {
		assert.True(t, numbers[n+1], "number %d", n+1)
	}
	for step := range practice.Steps {
		assert.GreaterOrEqual(t, steps[step+1], 3, "step %d", step+1)
		assert.NotEmpty(t, practice.StepName(step+1))
	}
	for _, s := range practice.Skills {
		assert.Greater(t, skills[s], 0.3, "%s is taught somewhere", s)
	}
	assert.GreaterOrEqual(t, faults, 6)
	_, err = practice.Find("nothing")
	assert.ErrorIs(t, err, practice.ErrNone)
}

// A number is one exercise for ever, and former names lead to it: journals and
// notes of a class go by them.
func TestNumbersStay(t *testing.T) {
	for n, name := range []string{"first-buffer", "which-way", "strong-then-weak", "calibrate-and-bracket", "cold-room", "polyprotic", "come-back",
		"slow-electrode", "still-water", "restless", "seven-forever", "wrong-jar", "no-coach", "free-acid", "dibasic", "big-beaker", "thin-buffer",
		"teaching-lab", "late-part", "night-log", "acid-side", "edge", "urchin-larvae", "whelk-counts", "two-troubles", "nameless-beaker", "last-watch", "second-thoughts",
		"strength-of-a-bottle", "vinegar", "antacid", "two-steps", "unknown-acid", "dilute-sample",
		"borrowed-sensor", "sea-probe", "cheese-cellar"} {
		e, err := practice.Find(name)
		require.NoError(t, err, name)
		assert.Equal(t, n+1, e.Number, name)
		again, err := practice.Find(strconv.Itoa(n + 1))
		require.NoError(t, err)
		assert.Same(t, e, again)
	}
}

// Some exercises play an electrode that was recorded: the readings carry it, and the
// debrief says where it is from.
func TestSomeElectrodesWereRecorded(t *testing.T) {
	played := map[string]bool{}
	all, _ := practice.Exercises()
	for _, e := range all {
		if e.Bench.Recorded == "" {
			continue
		}
		played[e.Bench.Recorded] = true
		tape, err := sim.Recorded(e.Bench.Recorded)
		require.NoError(t, err)
		p := sitAt(t, e, e.Seed, practice.Off, 1)
		var more []float64
		for range 60 {
			p.wait(1)
			more = append(more, p.bench.Read()-p.bench.Shown())
		}
		if tape.More != nil {
			assert.True(t, onTape(tape.More, more), "%s: a minute of its readings stands on the tape", e.Name)
		}
		p.drip(p.keeper.State.Setup.Stocks[0].Name, 5)
		p.wait(30)
		assert.Contains(t, strings.Join(p.end().Story, " "), "open recording", e.Name)
	}
	assert.Len(t, played, len(sim.RecordedNames()))
}

// onTape reports whether a stretch is somewhere on a tape, but for rounding.
func onTape(tape, stretch []float64) bool {
next:
	for begin := range tape {
		for i, x := range stretch {
			if math.Abs(tape[(begin+i)%len(tape)]-x) > 0.006 {
				continue next
			}
		}
		return true
	}
	return false
}

// What is told before a run does not name what is to be found in it.
func TestStoriesDoNotTell(t *testing.T) {
	all, err := practice.Exercises()
	require.NoError(t, err)
	telling := regexp.MustCompile(`[a-z]{5,}`)
	for _, e := range all {
		told := strings.ToLower(strings.Join([]string{e.Name, e.Title, e.Story, e.Goal, e.Teaches, e.Plan.Name}, " "))
		for _, f := range e.Faults {
			if !e.Find {
				continue
			}
			k, err := sim.FaultOf(f.Name)
			require.NoError(t, err)
			for _, word := range telling.FindAllString(strings.ToLower(k.Title+" "+f.Name), -1) {
				if word == "addition" || word == "beaker" || word == "titrant" || word == "first" || word == "buffer" || word == "wrong" {
					continue
				}
				assert.NotContains(t, told, word, e.Name)
			}
		}
	}
}

// What a story or its lesson says of numbers is what its benches do.
func TestStoriesAgreeWithTheirBenches(t *testing.T) {
	starts := func(name string) (low, high float64) {
		e, err := practice.Find(name)
		require.NoError(t, err)
		low, high = math.Inf(1), math.Inf(-1)
		for seed := range uint64(60) {
			b, _, err := e.NewBench(seed + 1)
			require.NoError(t, err)
			low, high = math.Min(low, b.Beaker()), math.Max(high, b.Beaker())
		}
		return low, high
	}
	for _, c := range []struct {
		name      string
		low, high float64
		says      string
	}{
		{"tidal-samples", 3.0, 6.5, "anywhere from 3 to 6.5"},
		{"dibasic", 8.4, 10, "Starts near 9 (8.4 to 10)"},
		{"which-way", 9.7, 10.85, "at pH 9.8 to 10.8"},
	} {
		e, err := practice.Find(c.name)
		require.NoError(t, err)
		assert.Contains(t, e.Learn+e.Notes, c.says, c.name)
		low, high := starts(c.name)
		assert.True(t, low >= c.low && high <= c.high, "%s begins at %.2f to %.2f", c.name, low, high)
	}
}

// Whatever the seed, who knows the bench can finish what is to be finished.
func TestExercisesCanBeDone(t *testing.T) {
	all, err := practice.Exercises()
	require.NoError(t, err)
	for _, e := range all {
		if !e.Finishes() || e.Determines() { // of those, TestAnswersAreInReach
			continue
		}
		for seed := range uint64(12) {
			b, s, err := e.NewBench(seed + 1)
			require.NoError(t, err)
			room, least := (s.Final - s.Start).Litres(), math.Inf(1)
			for _, st := range s.Stocks {
				if n := b.Need(st.Name, s.Target); n < least {
					least = n
				}
			}
			assert.Less(t, least, room, "%s, seed %d", e.Name, seed+1)
			assert.Greater(t, math.Abs(b.Real()-s.Target), s.Tolerance, "%s, seed %d: it is there already", e.Name, seed+1)
		}
	}
}

func text(t *testing.T) string {
	t.Helper()
	b, err := practice.Find("first-buffer")
	require.NoError(t, err)
	return string(b.Text)
}

// Every mistake of a teacher is answered with the line and column where it stands.
func TestMistakesInAFileAreNamedWithTheirPlace(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"level = 1", "levle = 1", `x.toml:5:1: unknown key "levle"`},
		{"level = 1", "level = 9", "x.toml:5:1: level: must be 1 to 7, not 9"},
		{"level = 1", `level = "one"`, "x.toml:5:9: "},
		{`coach = "full"`, `coach = "some"`, `x.toml:7:1: coach: it must be full, ask or off, not "some"`},
		{`coach = "full"`, "", "coach: missing"},
		{"ph = 7.2", "ph = 77", "x.toml:39:1: plan.target.ph: 77 is outside 1–13"},
		{"ph = 7.2", "ph = nan", "plan.target.ph: "},
		{`reagent = "MOPS"`, `reagent = "MOSP"`, "x.toml:49:1: plan.weighed[1].reagent: "},
		{"molar = 0.1\ndrop_ul = 50\n\n[[plan.titrant]]", "molar = -2\n\n[[plan.titrant]]", "x.toml:61:1: plan.titrant[2].molar: "},
		{"[plan]", "[[fault]]\nname = \"gremlin\"\n[plan]", `x.toml:36:1: fault[1].name: no fault is called "gremlin"`},
		{"[plan]", "[[fault]]\nname = \"cap\"\nstrength = 40\n[plan]", "x.toml:37:1: fault[1].strength: 40 is outside 0 to 10"},
		{"[plan]", "[bench]\ntau_s = -1\n[plan]", "x.toml:36:1: bench.tau_s: -1 is outside 0 to 300"},
		{"[plan]", "[[given]]\ntitrant = \"lye\"\ndrops = 3\n[plan]", `no such bottle on the bench: "lye"`},
		{"[plan]", "[calibrate]\nchoices = [[\"7.00\", \"5.55\"]]\n[plan]", "x.toml:36:1: calibrate.choices: "},
		{"level = 1", "level = 1\nfind = true", "x.toml:6:1: find: there is no [[fault]] to be found"},
		{"level = 1", "level = = 1", "x.toml:5:"},
	} {
		src := text(t)
		require.Contains(t, src, c.old)
		_, err := practice.Decode("x.toml", []byte(strings.Replace(src, c.old, c.new, 1)))
		require.Error(t, err, c.new)
		assert.Contains(t, err.Error(), c.want, c.new)
		var at *practice.FileError
		require.ErrorAs(t, err, &at, c.new)
		assert.True(t, at.Line > 0 && at.Col > 0, c.new)
	}
}

// An unknown key is answered with the keys that there are at its place.
func TestWhatToTry(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"level = 1", "levle = 1", "level"},
		{"ph = 7.2", "pH_ = 7.2", "tolerance"},
		{"[plan]", "[[fault]]\nonset = 3\n[plan]", "onset_s"},
		{"level = 1", "level = 8", "1 is the easiest"},
	} {
		_, err := practice.Decode("x.toml", []byte(strings.Replace(text(t), c.old, c.new, 1)))
		var at *practice.FileError
		require.ErrorAs(t, err, &at, c.new)
		assert.Contains(t, at.Try, c.want, c.new)
	}
}

func TestOwnSeed(t *testing.T) {
	assert.NotEqual(t, practice.OwnSeed("bench 1"), practice.OwnSeed("bench 2"))
	assert.Equal(t, practice.OwnSeed("bench 1"), practice.OwnSeed("bench 1"))
}

func TestASlipOfThePenIsAnswered(t *testing.T) {
	for typed, meant := range map[string][]string{
		"first-bufer": {"first-buffer"}, "mussle-tank": {"mussel-tank"}, "First Buffer": {"first-buffer"}, "coldroom": {"cold-room"},
		"buffer": {"thin-buffer", "first-buffer"}, "whelk": {"whelk-counts"}, "99": nil, "zzzzzz": nil, "": nil,
	} {
		assert.ElementsMatch(t, meant, practice.Like(typed), typed)
	}
	all, err := practice.Exercises()
	require.NoError(t, err)
	for _, e := range all {
		assert.Equal(t, e.Name, practice.Like(e.Name)[0])
	}
}
