package protocol

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A line has no keys: what it is told is what may be sent.
func TestWhatALineIsTold(t *testing.T) {
	for _, c := range []struct{ screen, line string }{
		{"Enter when all are in; n: nothing was given; a number: that many", `"added" when all are in; "declined":true: nothing was given; a number: that many`},
		{"99 % likely by the readings: check the labels. y: that is it, c: it is as planned", `99 % likely by the readings: check the labels. "confirm":"CODE": that is it, "confirm":true: it is as planned`},
		{"up to 4 min for a better one. g: go ahead with 3 drops of NaOH 0.1 M", `up to 4 min for a better one. "go_on":true: go ahead with 3 drops of NaOH 0.1 M`},
		{"put the electrode back and press i; u: it was another bottle", `put the electrode back and send "immersed":true; "undo":true: it was another bottle`},
		{"a standard was left; Enter when it is in, Esc ends the check", `a standard was left; "check":"in" when it is in, "check":"stop" ends the check`},
		{"none else here moves the pH the right way: + adds another bottle", `none else here moves the pH the right way: "bottle":{…} adds another bottle`},
		{"expected to land at 6.41 (6.37 to 6.46)", "expected to land at 6.41 (6.37 to 6.46)"},
		{"vitamin c: 3 g", `vitamin "confirm":true: 3 g`}, // no sentence of a run has a letter with a colon that is no key
	} {
		assert.Equal(t, c.line, told(c.screen))
	}
}

// named is a key as a sentence names one; the article and the units are none.
var named = regexp.MustCompile(`(^|[ (])(Enter|Esc|[b-z+])(: | (when|if|once|withdraws|checks|ends|takes|adds|alone)\b)`)

// TestNoKeyIsLeft reads every text of the rooms that speak: no sentence that names a key reaches
// a line with it.
func TestNoKeyIsLeft(t *testing.T) {
	keys := 0
	for _, dir := range []string{"../run", "../run/view", "../spot"} {
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		require.NoError(t, err)
		for _, name := range files {
			if m, _ := filepath.Match("*_test.go", filepath.Base(name)); m || filepath.Base(name) == "check.go" { // a table of keys, which help tells in its own words
				continue
			}
			f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
			require.NoError(t, err)
			ast.Inspect(f, func(n ast.Node) bool {
				if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
					text, err := strconv.Unquote(l.Value)
					require.NoError(t, err)
					if named.MatchString(text) {
						keys++
					}
					assert.False(t, named.MatchString(told(text)), "%s: %q is told as %q", name, text, told(text))
				}
				return true
			})
		}
	}
	require.Greater(t, keys, 20, "sentences that name a key")
}
