package report_test

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/report"
	"example.org/halfdrop/meter/sim"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// printed are the pages of an HTML page on paper of a size, as text, by the headless
// browser and the PDF tools of the machine.
func printed(t *testing.T, html, size string) []string {
	t.Helper()
	folder := t.TempDir()
	from, to := filepath.Join(folder, "run.html"), filepath.Join(folder, "run.pdf")
	html = strings.Replace(html, "</head>", "<style>@page { size: "+size+"; }</style></head>", 1)
	require.NoError(t, os.WriteFile(from, []byte(html), 0o600))
	out, err := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir="+filepath.Join(folder, "profile"),
		"--no-pdf-header-footer", "--print-to-pdf="+to, "file://"+from).CombinedOutput()
	require.NoError(t, err, string(out))
	text, err := exec.Command("pdftotext", "-layout", to, "-").Output()
	require.NoError(t, err)
	return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
}

// On A4 and on Letter each page says which it is, and none holds a footer alone.
func TestPrintsOnA4AndLetter(t *testing.T) {
	for _, tool := range []string{"chromium", "pdftotext"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("NOT RUN: the record was not printed on A4 and Letter, for there is no %s here; apt-get install chromium poppler-utils brings both", tool)
		}
	}
	use := 30.0
	rec := after(t, eventfulRun(t, limpet), journal.Event{Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.31, TempC: &use, By: "bench nine"}})
	rec.Sum = "0123456789abcdef0123"
	var page bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	for _, size := range []string{"A4", "letter"} {
		pages := printed(t, page.String(), size)
		require.GreaterOrEqual(t, len(pages), 2)
		for i, p := range pages {
			assert.Contains(t, p, "page "+strconv.Itoa(i+1)+" of "+strconv.Itoa(len(pages)), size)
			assert.Contains(t, p, "sum 0123456789ab", size)
		}
		last := pages[len(pages)-1]
		assert.Contains(t, last, "Journal written by", size)
		assert.Contains(t, last, "use before", "%s: the label is on the page of the footer", size)
		assert.Regexp(t, `made up and read: pH 7\.31 .*bench nine`, strings.Join(pages, ""), "who read it, not who titrated")
	}
}

// What is missing is written above the figures, where no number of an addition stands.
func TestTheFlawStandsAboveTheFigure(t *testing.T) {
	rec := after(t, eventfulRun(t, limpet))
	rec.Lost = "its end is torn"
	var svg bytes.Buffer
	require.NoError(t, rec.WriteTrace(&svg))
	y := func(form string) float64 {
		m := regexp.MustCompile(form).FindStringSubmatch(svg.String())
		require.NotNil(t, m, form)
		v, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		return v
	}
	assert.Less(t, y(`y="([\d.]+)"[^>]*>NOT WHOLE`), y(`y="([\d.]+)"[^>]*>1</text>`)-12)
}

// The record says of each addition what was ordered, where that was expected to land, and
// what the drops brought: here drops of 65 µL from a dropper of 50, all else as planned.
func TestWhatTheDropsDid(t *testing.T) {
	const larger = 1.3
	p := plan(limpet)
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	truth := sim.DefaultTruth(setup, 5)
	for i := range truth.LnDrop {
		truth.LnDrop[i] = math.Log(larger)
	}
	for i := range truth.LnStrength {
		truth.LnStrength[i] = 0
	}
	truth.LnAmount, truth.Excess, truth.LnVolume, truth.Offset, truth.Slope, truth.PKShift, truth.Scatter, truth.Noise = 0, 0, 0, 0, 0, nil, 0, 0.002
	r := begun(t, p, setup, truth)
	r.wait(150)
	v := r.keep.Look(r.sec)
	require.Equal(t, "add", v.Advice.Do.String())
	ordered := v.Advice
	r.add(v.Titrant, ordered.Drops, ordered.Drops)
	r.wait(150)
	r.add("NaOH 1 M", 8, 8) // whatever is ordered
	r.wait(150)
	r.add("NaOH 1 M", 3, 3)
	latest, _ := r.keep.State.Latest()
	r.take(journal.Event{Kind: journal.Undone, Undo: &journal.Undo{Seq: latest.Seq, Reason: "keyed for another beaker"}})
	r.wait(100)
	r.take(journal.Event{Kind: journal.Ended, End: &journal.End{Outcome: "ended before the aim"}})

	tape, err := replaytest.Of(r.Events)
	require.NoError(t, err)
	rec := report.New(tape)
	require.Len(t, rec.Steps, 3)
	for _, s := range rec.Steps[:2] {
		assert.Positive(t, s.Within)
		assert.InDelta(t, larger, s.Response, 3*s.Within+0.03, "addition %d: %.3f ± %.3f", s.N, s.Response, s.Within)
		assert.Greater(t, s.After.PH, s.ByLabel+0.02, "more fell than the label says")
	}
	ph, low, high, was := rec.Steps[0].Expected()
	assert.True(t, was)
	assert.InDelta(t, ordered.After, ph, 1e-3)
	assert.InDelta(t, ordered.Low, low, 1e-3)
	assert.InDelta(t, ordered.High, high, 1e-3)
	_, _, _, was = rec.Steps[1].Expected()
	assert.False(t, was, "8 drops were not what was ordered")

	var page bytes.Buffer
	require.NoError(t, rec.WritePage(&page))
	for _, words := range []string{`<th class="r">expected</th>`, `<th class="r">charge / label</th>`, " label</td>"} {
		assert.Contains(t, page.String(), words)
	}
}

// The reading of the finished solution, put on record a quarter of an hour after the run was
// closed, made the run a quarter of an hour longer, and its end one without readings.
func TestALabelMakesNoRunLonger(t *testing.T) {
	events := eventfulRun(t, limpet)
	whole := func(events []journal.Event) *report.Record {
		r, err := replaytest.Of(events)
		require.NoError(t, err)
		return report.New(r)
	}
	before := whole(events)
	last := events[len(events)-1]
	require.Equal(t, journal.Ended, last.Kind)
	made := journal.Event{Seq: last.Seq + 1, T: last.T + 900, Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.21, Outcome: "in tolerance"}}
	after := whole(append(events, made))
	assert.Equal(t, before.Seconds, after.Seconds)
	assert.Equal(t, last.T, after.Seconds)
	assert.Equal(t, before.EndedAt, after.EndedAt)
	assert.Equal(t, before.Read, after.Read)
	require.NotNil(t, after.Finished)
}
