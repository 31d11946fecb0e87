package report_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
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
			t.Skipf("NOT RUN: no %s here, so the record was not printed on A4 and Letter; apt-get install chromium poppler-utils brings both", tool)
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
