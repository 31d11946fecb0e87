package form_test

import (
	"fmt"
	"strings"
	"testing"

	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/tui/form"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// formValues is the form as it stands at the start, with a pH.
func formValues(ph string) map[string]string {
	v := map[string]string{}
	for _, f := range form.Fields() {
		v[f.Key] = f.Value
	}
	v["ph"] = ph
	return v
}

// TestCardSaysWhatThePlanSays: the card beside the form has the figures of the
// recipe that halfdrop plan prints, and its curve comes to the aim where the card
// says that the titrant does.
func TestCardSaysWhatThePlanSays(t *testing.T) {
	a := &form.Planner{Demand: form.Demand}
	assert.Nil(t, a.Card(formValues("")), "nothing to show yet")
	assert.Nil(t, a.Card(formValues("x")))
	c := a.Card(formValues("7.4"))
	require.NotNil(t, c)
	d, _ := form.Demand(formValues("7.4"))
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	x, err := prepare.For(d, list[0])
	require.NoError(t, err)
	kinds := ""
	for _, r := range c.Rows {
		kinds += r[0] + " "
		switch r[0] {
		case "weigh":
			assert.Equal(t, fmt.Sprintf("%.4g g", x.Measures[0].Mass.Grams()), r[1])
		case "aim":
			assert.Equal(t, fmt.Sprintf("pH %.2f", x.Aim.Shown), r[1])
		}
	}
	assert.Equal(t, "weigh water titrate make up aim ", kinds)
	require.NotNil(t, c.Plot)
	assert.InDelta(t, x.Aim.Shown, c.Plot.Aim, 0.005)
	at := c.Plot.Points[0].X
	for i := 1; i < len(c.Plot.Curve); i++ {
		if p, q := c.Plot.Curve[i-1], c.Plot.Curve[i]; p.X <= at && at <= q.X {
			assert.InDelta(t, c.Plot.Aim, p.Y+(q.Y-p.Y)*(at-p.X)/(q.X-p.X), 0.01)
		}
	}
	v := formValues("7.4")
	v["stock"], v["anyway"], v["name with blank"] = "NaOH 1 M; HCl 1 M", "yes", ""
	a.Look(v)
	assert.Equal(t, []string{"--ph", "7.4", "--stock", "NaOH 1 M", "--stock", "HCl 1 M", "--anyway"}, a.AsFlags())
	v["ph"], v["temp"], v["mM"], v["dropper"], v["avoid"], v["anyway"], v["stock"] = "7,4", "4,5", "abc", "45,5 µL", "metals uv", "", ""
	a.Look(v)
	assert.Equal(t, []string{"--ph", "7.4", "--temp", "4.5", "--avoid", "metals,uv", "--drop-ul", "45.5"}, a.AsFlags(), "what the flags take")
	v["dropper"] = "blue"
	a.Look(v)
	assert.Contains(t, strings.Join(a.AsFlags(), " "), "--dropper blue")
}

// BenchmarkCard is what a key in the form costs where the card stands beside it.
func BenchmarkCard(b *testing.B) {
	a := &form.Planner{Demand: form.Demand}
	n := 0
	for b.Loop() {
		n++
		v := formValues(fmt.Sprintf("7.%d", 100+n%900))
		a.Look(v)
		a.Card(v)
	}
}
