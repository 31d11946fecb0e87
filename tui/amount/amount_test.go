package amount

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
)

func demo(t *testing.T) (recipe.Plan, *recipe.Setup) {
	p, err := planfile.Decode("find.toml", planfile.FindDemo)
	require.NoError(t, err)
	s, err := recipe.Compile(p)
	require.NoError(t, err)
	return p, s
}

// People and programs are told the same: the points, what limits the answer, the
// indicators.
func TestProspectTwice(t *testing.T) {
	_, s := demo(t)
	var text, object strings.Builder
	require.NoError(t, Tell(&text, s))
	require.NoError(t, WriteJSON(&object, s))
	var j struct {
		ToFind     string `json:"to_find"`
		Points     []pointJSON
		SD         float64 `json:"sd_rel"`
		Indicators []string
	}
	require.NoError(t, json.Unmarshal([]byte(object.String()), &j))
	assert.Contains(t, text.String(), j.ToFind)
	assert.Len(t, j.Points, strings.Count(text.String(), "equivalence point"))
	// 0.5106 g of potassium hydrogen phthalate, 204.22 g/mol, takes up 2.5002 mmol:
	// 25.0 mL of a base of 0.1 mol/L.
	require.Len(t, j.Points, 1)
	assert.InDelta(t, 25.0, j.Points[0].ML, 0.05)
	assert.True(t, j.Points[0].Main)
	assert.Greater(t, j.SD, 0.0)
	assert.NotEmpty(t, j.Indicators)
	for _, x := range j.Indicators {
		assert.Contains(t, text.String(), x)
	}
}

// A blank is the plan without what is looked for, and has none itself.
func TestBlankOf(t *testing.T) {
	p, s := demo(t)
	b, err := BlankOf(p)
	require.NoError(t, err)
	assert.Len(t, b.Weighed, len(p.Weighed)-1)
	assert.NotContains(t, b.Weighed, p.Weighed[s.Sought()])
	assert.Equal(t, p.Titrants, b.Titrants)
	of, err := recipe.Compile(b)
	require.NoError(t, err)
	assert.Equal(t, find.Blank, of.What)
	_, err = BlankOf(b)
	assert.ErrorContains(t, err, "already the plan of a blank")
	var text strings.Builder
	require.NoError(t, Tell(&text, of))
	assert.NotContains(t, text.String(), "%", "a blank is in mL")

	_, err = Subtracting(b, "x")
	assert.ErrorContains(t, err, "that of a blank itself")
	ml := 0.1
	own := p
	with := *p.Find
	with.BlankML = &ml
	own.Find = &with
	_, err = Subtracting(own, "x")
	assert.ErrorContains(t, err, "a blank of its own")
	none := p
	none.Find = nil
	_, err = Subtracting(none, "x")
	assert.ErrorContains(t, err, "determines an amount")
	_, err = Subtracting(p, filepath.Join(t.TempDir(), "none.jsonl"))
	assert.Error(t, err)
}
