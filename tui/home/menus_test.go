package home

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
)

// nothing is a machine without meters and ports.
func nothing() *Known {
	return &Known{Meters: func() []string { return nil }, Ports: func() ([]Port, error) { return nil, nil }}
}

// TestHomeShowsTheLastRun: what stands beside the tasks is what the journal says.
func TestHomeShowsTheLastRun(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	side := nothing().atHome(nil)
	assert.Contains(t, side.Facts, [2]string{"run", "none yet"})
	assert.Contains(t, side.Facts, [2]string{"bench", "nothing remembered yet"})
	folder := t.TempDir()
	plan, err := planfile.Decode("demo", planfile.Demo)
	require.NoError(t, err)
	start := time.Now()
	first, err := keep.Begin(plan, start, keep.Origin{Program: "test", Source: sim.SourceName(7), Operator: "Ada"})
	require.NoError(t, err)
	w, err := journal.Create(filepath.Join(folder, "a.jsonl"), first)
	require.NoError(t, err)
	k, err := keep.NewKeeper(first, w, func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) })
	require.NoError(t, err)
	for i, ph := range []float64{5.2, 5.21, 5.2} {
		require.NoError(t, k.Take(journal.Event{T: float64(i), Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 2}}))
	}
	require.NoError(t, k.Take(journal.Event{T: 3, Kind: journal.Added, Added: &journal.Addition{Titrant: "NaOH 1 M", Drops: 3, ML: 0.15}}))
	require.NoError(t, w.Close())
	list, err := keep.List(folder)
	require.NoError(t, err)
	require.Len(t, list, 1)
	side = nothing().atHome(list)
	assert.Equal(t, "Last run", side.Title)
	assert.Contains(t, side.Facts, [2]string{"readings", "simulated bench, seed 7"})
	assert.Contains(t, side.Facts, [2]string{"operator", "Ada"})
	assert.Contains(t, side.Facts, [2]string{"additions", "1"})
	assert.Contains(t, side.Facts, [2]string{"ended", "not yet"})
	require.NotNil(t, side.Plot)
	assert.Equal(t, *plan.Target.PH, side.Plot.Aim, "without advice on record it is the target")
	require.NoError(t, os.WriteFile(list[0].Path, []byte("{}\n"), 0o600))
	assert.Equal(t, "journal", aboutRun(list[0]).Facts[5][0], "a journal that cannot be read is said to be so")
}

// TestADeterminationHasNoAim: beside a run that determines an amount the line is where the
// equivalence is expected, and is not called the aim.
func TestADeterminationHasNoAim(t *testing.T) {
	folder := t.TempDir()
	plan, err := planfile.Decode("demo", planfile.FindDemo)
	require.NoError(t, err)
	first, err := keep.Begin(plan, time.Now(), keep.Origin{Program: "test", Source: sim.SourceName(7)})
	require.NoError(t, err)
	w, err := journal.Create(filepath.Join(folder, "a.jsonl"), first)
	require.NoError(t, err)
	for i, ph := range []float64{4.2, 4.3, 4.4} {
		e := journal.Event{T: float64(i), Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 2}}
		if i == 1 {
			e = journal.Event{T: 1, Kind: journal.Advised, Advice: &journal.Advice{Do: "wait", Aim: 8.7}}
		}
		require.NoError(t, w.Append(&e))
	}
	require.NoError(t, w.Close())
	list, err := keep.List(folder)
	require.NoError(t, err)
	side := aboutRun(list[0])
	require.NotNil(t, side.Plot)
	assert.Equal(t, "equivalence", side.Plot.AimText)
	assert.Contains(t, side.Facts, [2]string{"ended", "not yet"})
}

// TestHomeLeadsToReadingsByHand: from the first menu to a display that is read off, that
// of a meter without a line, of the simulated bench, and in standards.
func TestHomeLeadsToReadingsByHand(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	t.Chdir(t.TempDir())
	for _, tc := range []struct{ task, source, then, want string }{
		{"Titrate", "the simulated bench, read off by hand", "the built-in plan", "titrate --sim --by-hand"},
		{"Find a strength or an amount", "the simulated bench, read off by hand", "the built-in plan", "titrate --find --sim --by-hand"},
		{"Titrate", "a display: type what it shows", "no plan file here: make one", "plan"},
		{"Calibrate the electrode", "a display: type what it shows", "7.00  4.01", "calibrate --typed --standards 7.00,4.01"},
	} {
		q, args := nothing().tasks(t.TempDir(), nil), []string(nil)
		for _, text := range []string{tc.task, tc.source, tc.then} {
			at := slices.IndexFunc(q.choices, func(c choice) bool { return c.row.Text == text })
			require.GreaterOrEqual(t, at, 0, "%q is not offered in %q", text, q.title)
			c := q.choices[at]
			if args = append(args, c.args...); c.instead {
				args = c.args
			}
			if c.ask != nil {
				q = c.ask(args)
			}
		}
		assert.Equal(t, tc.want, strings.Join(args, " "))
	}
}

// TestHomeResumesWhatWasLeft: the latest run that was left, and none that goes on at another
// window, where the other program would have to be ended first.
func TestHomeResumesWhatWasLeft(t *testing.T) {
	folder := t.TempDir()
	plan, err := planfile.Decode("demo", planfile.Demo)
	require.NoError(t, err)
	for i := range 2 {
		at := time.Date(2026, 11, 26, 9, i, 0, 0, time.UTC)
		first, err := keep.Begin(plan, at, keep.Origin{Program: "test", Source: "x"})
		require.NoError(t, err)
		w, err := journal.CreateIn(folder, at, plan.Name, first)
		require.NoError(t, err)
		defer w.Close()
		if i == 0 {
			require.NoError(t, w.Close())
		}
	}
	kept, err := keep.List(folder)
	require.NoError(t, err)
	require.Len(t, kept, 2)
	q := nothing().tasks(folder, kept)
	assert.Equal(t, []string{"titrate", "--resume", kept[1].Path}, q.choices[0].args)
	q = nothing().tasks(folder, kept[:1])
	assert.False(t, strings.HasPrefix(q.choices[0].row.Text, "Resume"), q.choices[0].row.Text)
}

// TestHomeAsksForTheElectrode: a calibration from the menus was kept without a name, and a run
// from the menus used none.
func TestHomeAsksForTheElectrode(t *testing.T) {
	k := nothing()
	k.Electrodes = func() []shelf.CalibratedElectrode {
		return []shelf.CalibratedElectrode{{Name: "E7", State: "97.3 %, 2 h ago"}}
	}
	q := k.nextStandards([]string{"calibrate", "--port", "auto"})
	require.NotNil(t, q.choices[0].ask)
	which := q.choices[0].ask(nil)
	require.Len(t, which.choices, 2)
	assert.Equal(t, []string{"--electrode", "E7"}, which.choices[0].args)
	assert.Equal(t, "97.3 %, 2 h ago", which.choices[0].row.Right)
	assert.Empty(t, which.choices[1].args)
	assert.Contains(t, which.choices[1].row.About, "--electrode NAME")
	assert.Nil(t, k.nextStandards([]string{"calibrate", "--sim"}).choices[0].ask, "the simulated electrode is nobody's")
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("a.toml", planfile.Demo, 0o600))
	q = k.nextPlan([]string{"titrate", "--port", "auto"})
	require.NotNil(t, q.choices[0].ask)
	assert.Contains(t, q.choices[0].ask(nil).choices[1].row.About, "No calibration")
	require.NoError(t, os.Remove("a.toml"))
	assert.Nil(t, k.nextPlan([]string{"titrate", "--port", "auto"}).choices[0].ask, "a plan is made first")
	k.Electrodes = func() []shelf.CalibratedElectrode { return nil }
	assert.Nil(t, k.nextStandards([]string{"calibrate", "--port", "auto"}).choices[0].ask)
}

// TestHomeCountsWhatIsRemembered: a bench of which only an electrode is known is not "nothing".
func TestHomeCountsWhatIsRemembered(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	path, err := shelf.BenchFile()
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
	for text, want := range map[string]string{
		"[[run]]\nat = 2026-11-27T22:46:06Z\nplan = 'x'\ndrop = []\n[run.electrode]\nname = 'E7'\ntau_s = 3.9\ntau_sd_pct = 31.0\nlarge_late_part_pct = 27.6\nlate_55_120_260_s_pct = [45.5, 23.9, 30.6]\nnoise_ph = [0.002, 0.0025, 0.016]\nnoise_pct = [96.0, 2.5, 1.5]\nnoise_firm = [8.0, 8.0, 8.0]\n": "1 electrode",
		"[[stated]]\nat = 2026-11-27T22:46:06Z\nbottle = 'B7'\nmolar = 1.0\nsd_pct = 0.3\n": "1 bottle",
	} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		assert.Contains(t, nothing().atHome(nil).Facts, [2]string{"bench", want})
	}
}

// TestPlansThatCannotBeUsedAreListed: a plan with a slip is looked for in the list, and is
// there with what is wrong; other files in TOML are not.
func TestPlansThatCannotBeUsedAreListed(t *testing.T) {
	t.Chdir(t.TempDir())
	plan := "[target]\nph = 7.4\n[beaker]\nstart_ml = 200\nfinal_ml = 250\n[[weighed]]\nreagent = \"HEPES\"\nmmol = 10\n[[titrant]]\nreagent = \"NaOH\"\nmolar = 1.0\n"
	for name, text := range map[string]string{"a.toml": plan, "b.toml": strings.Replace(plan, "7.4", "74", 1), "c.toml": strings.Replace(plan, "= 10", "= \"10\"", 1), "d.toml": "bell = true # a [target] of mine\n", "e.toml": "[ target ]\nph = \"7\"\n", "f.toml": "[find]\nwhat = \"amount\"\nlooks = 3\n"} {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
	}
	var rows []string
	for _, c := range nextPlan([]string{"titrate", "--port", "x"}).choices {
		rows = append(rows, c.row.Text+": "+c.row.Right)
		if c.row.Right == "cannot be used" {
			assert.Contains(t, c.row.About, c.row.Text+":", "what is wrong, and where")
		}
	}
	assert.Equal(t, []string{"a.toml: pH 7.40", "b.toml: cannot be used", "c.toml: cannot be used", "e.toml: cannot be used"}, rows)
	found := nextPlan([]string{"titrate", "--find", "--port", "x"}).choices
	assert.Equal(t, "f.toml: cannot be used", found[0].row.Text+": "+found[0].row.Right, "and the plan of an amount among those")

}
