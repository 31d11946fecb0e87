package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// notRun is what a test says that is skipped: what was not run, and for which cause.
var notRun = regexp.MustCompile(`^NOT RUN( with -short)?: .{20,}(, (which|for|there|so)|; set |; [A-Z_]+=|: %v$)`)

// A test that is skipped says loudly what was not run and why: .ci/run prints that, and fails
// where nothing is said; go test -v ./... | grep 'NOT RUN' does elsewhere.
func TestSkipsSayWhatWasNotRunAndWhy(t *testing.T) {
	n := 0
	require.NoError(t, filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(f, func(x ast.Node) bool {
			call, ok := x.(*ast.CallExpr)
			if !ok {
				return true
			}
			on, ok := call.Fun.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			switch at := set.Position(call.Pos()); on.Sel.Name {
			case "SkipNow":
				assert.Fail(t, "a skip without a word", "%s", at)
			case "Skip", "Skipf":
				if who, ok := on.X.(*ast.Ident); !ok || who.Name != "t" && who.Name != "b" && who.Name != "f" {
					return true
				}
				n++
				said, ok := call.Args[0].(*ast.BasicLit)
				if assert.True(t, ok, "%s: the words are not written there", at) {
					text, err := strconv.Unquote(said.Value)
					assert.NoError(t, err)
					assert.Regexp(t, notRun, text, "%s", at)
				}
			}
			return true
		})
		return nil
	}))
	assert.NotZero(t, n)
}
