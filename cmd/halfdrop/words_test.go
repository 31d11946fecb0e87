package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// banned are wordings that the word list in DEVELOPERS.md replaces, with what to say
// instead. They are looked for in every text that the program can show.
var banned = []struct{ wording, better string }{
	{`called wrongly`, "usage error"},
	{`good enough within|what is good enough`, "tolerance"},
	{`must not do\b`, "avoid"},
	{`accept a poor fit`, "allow pKa′ beyond ±1"},
	{`in the cupboard`, "available"},
	{`\bat hand\b`, "available"},
	{`wants the number`, "needs the number"},
	{`looked at, carrying on`, "as planned; carrying on"},
	{`solution of so much`, "a solution that strong"},
	{`^CHECK was it given`, "GIVEN?"},
	{`meter offset`, "meter correction, which is added to what it shows"},
	{`\bmade from: `, "method:"},
	{`what one step has`, "the one-pKa maximum"},
	{`brought (up|down) with`, "titrated with"},
	{`made the whole way|for the whole way`, "if used throughout"},
	{`\b[Tt]he other way[,:]`, "alternative"},
	{`Two forms by ratio`, "mixed acid and base forms"},
	{`\bTo know\b`, "notes"},
	{`\blong way\b`, "bulk addition"},
	{`\bway back (leaves|is)|for the way back`, "back-titration"},
	{`step too far`, "overshoot"},
	{`diluted twofold`, "dilution value ΔpH½"},
	{`is met, `, "met"},
	{`mol/L per pH`, "mM per pH"},
	{`take it as it is`, "accept now"},
	{`\bbreak off\b`, "cancel"},
	{`the course of the reading is drawn`, "trend starts after Enter"},
	{`within %\.3f pH of one line`, "residual < 0.001 pH"},
	{`meter (is )?(quiet|silent)`, "no signal"},
	{`left by the operator`, "ended before the aim"},
	{`led past`, "overshot"},
	{`past the aim or further once`, "overshot once"},
	{`looked at it, want to go on`, "looked, it is as planned"},
	{`the last one was 7`, "corrects the last addition"},
	{`put the program to sleep`, "suspend"},
	{`says when left out`, "default: the exercise's"},
	{`^column of `, "mV column"},
	{`[Ww]ho stands at the plate`, "operator"},
	{`no USB adapter, or not known`, "adapter unknown"},
	{`fault of this program`, "internal error"},
	{`choice of this project|: a judgement\b|^a judgement$`, "no published limit"},
	{`\bis it not %`, "if it is not at"},
	{`what is poured is\b`, "the liquids poured add up to"},
	{`^(it|the value) must be a number$`, "a number is missing; is not a number"},
	{`\b(is|are|was) no (number|amount|date|time|pH|text|name|journal|set of|mark|word|mode|address|link|primary|standard|buffer|acid|base|liquid|item|meter|mass|title|address|character|control|practice|channel|titration)\b`, "is not a"},
	{`: [^:]* (is|are) wanted("|,|$|;| on )`, "must be, needs, give"},
	{`[Bb]roken off`, "interrupted"},
	{`\b(go|goes|going|gone) on with\b`, "resume, continue, carry on with"},
	{`\bmend(s|ed)?\b`, "correct, put right"},
	{`\banew\b`, "again, afresh"},
	{`display stands|when it stands|said to stand|in passing|passing would`, "is steady; still moving"},
	{`\b[Ll]eaps?\b`, "break (of a titration curve)"},
	{`forgets? the count|count is forgotten`, "clear the count"},
	{`[Ll]ook(s|ed)? for an amount|[Ll]ooked for:`, "determine an amount; to find:"},
	{`touch off`, "touch to the wall"},
	{`\bThe dose\b|advised dose`, "addition"},
	{`cannot be one\b|cannot be, and|that cannot be$`, "impossible"},
	{`[Nn]obody (has said|says which|knows which)`, "say what is not known"},
	{`columns? set off|parts set apart`, "separated by"},
	{`goes before what|table (on the bottle )?goes first`, "overrides, takes precedence"},
	{`^(the run goes on|go on)$|any other key goes on`, "continue"},
	{`time that has gone`, "must be above zero"},
	{`\btaken by itself\b`, "automatically"},
	{`dearest loss|would have kept it`, "costliest; would have saved it"},
	{`dripped (at|with)|before dripping`, "added"},
	{`\bso many; n:`, "that many"},
	{`within the doubt|adds? .* to the doubt`, "uncertainty"},
	{`comes out: about|comes? out with`, "precipitates"},
	{`, seen\b|\bfrom memory\b`, "not confirmed by a second publication, where it matters"},
}

// notShown are texts that no person meets: errors in the data of the program itself,
// which its own tests find.
var notShown = regexp.MustCompile(`not said whether`)

// shownIn are the texts in a Go file that may be shown: its string literals, without
// those that are tags or paths of imports.
func shownIn(t *testing.T, path string) (out []string) {
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	require.NoError(t, err)
	skip := map[*ast.BasicLit]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.Field:
			if n.Tag != nil {
				skip[n.Tag] = true
			}
		case *ast.ImportSpec:
			skip[n.Path] = true
		case *ast.BasicLit:
			if n.Kind == token.STRING && !skip[n] {
				if text, err := strconv.Unquote(n.Value); err == nil {
					out = append(out, text)
				}
			}
		}
		return true
	})
	return out
}

// TestBannedWordings keeps what the editor has taken out from coming back.
func TestBannedWordings(t *testing.T) {
	var patterns []*regexp.Regexp
	for _, b := range banned {
		patterns = append(patterns, regexp.MustCompile(b.wording))
	}
	texts := 0
	for _, room := range []string{"../../cmd", "../../tui", "../../meter", "../../chem"} {
		require.NoError(t, filepath.WalkDir(room, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || strings.HasSuffix(path, "_test.go") {
				return err
			}
			var shown []string
			switch filepath.Ext(path) {
			case ".go":
				shown = shownIn(t, path)
			case ".toml", ".txt":
				if strings.Contains(path, "testdata") {
					return nil
				}
				b, err := os.ReadFile(path)
				if err != nil {
					return err
				}
				shown = strings.Split(string(b), "\n")
			default:
				return nil
			}
			for _, text := range shown {
				texts++
				for i, p := range patterns {
					switch found := p.FindString(text); {
					case found == "" || notShown.MatchString(text):
					default:
						assert.Fail(t, "a banned wording", "%s: %q in %q; better: %s", path, found, clipped(text), banned[i].better)
					}
				}
			}
			return nil
		}))
	}
	assert.Greater(t, texts, 5000, "the texts of the program were looked at")
}

func clipped(text string) string {
	if r := []rune(text); len(r) > 90 {
		return string(r[:90]) + "…"
	}
	return text
}
