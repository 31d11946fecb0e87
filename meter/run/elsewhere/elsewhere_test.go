package elsewhere_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/elsewhere"
	"example.org/halfdrop/meter/run/scene"
	"example.org/halfdrop/meter/run/view"
)

// A liquid is another than the beaker's from 1 pH outside of where the plan has it start.
func TestHowFarAnotherLiquidIs(t *testing.T) {
	b := elsewhere.Before{Since: 100, Foretold: scene.Range{Low: 8.9, High: 9.6}}
	for off, far := range map[float64]bool{0.3: false, 0.6: false, 0.9: false, 1.1: true, 1.9: true, 4: true} {
		for _, y := range []float64{b.Foretold.Low - off, b.Foretold.High + off} {
			v := view.View{Advice: coach.Advice{Do: coach.Add, Drops: 3}, Settling: probe.Estimate{Now: y}}
			b.Judge(&v)
			assert.Equal(t, far, v.Advice.Reason == coach.Faulty, "%g outside, at %.2f", off, y)
			assert.Equal(t, far, len(v.Spotted) > 0)
		}
	}
}

// An electrode may be put in for 45 s before anybody is asked; a question that is on the
// screen stays. At the pH of the standard that it mostly comes from nothing is ordered for
// 20 s, and for 45 s where the plan may begin anywhere in more than 1.2 pH.
func TestTimeToPutAnElectrodeIn(t *testing.T) {
	add := coach.Advice{Do: coach.Add, Drops: 3}
	for _, tt := range []struct {
		name      string
		since, ph float64
		low, high float64
		asked     bool
		do        coach.Action
	}{
		{"another liquid, just begun", 40, 4, 6.5, 7.5, false, coach.Wait},
		{"another liquid, for long", 50, 4, 6.5, 7.5, false, coach.Check},
		{"a question stays", 40, 4, 6.5, 7.5, true, coach.Check},
		{"in the standard still", 15, 7.05, 6.5, 7.5, false, coach.Wait},
		{"not quite it", 15, 7.07, 6.5, 7.5, false, coach.Add},
		{"for long", 25, 7, 6.5, 7.5, false, coach.Add},
		{"of a plan that begins anywhere", 40, 7, 6.3, 7.6, false, coach.Wait},
		{"nearly anywhere", 40, 7, 6.4, 7.55, false, coach.Add},
		{"anywhere, for long", 50, 7, 6.3, 7.6, false, coach.Add},
	} {
		b := elsewhere.Before{Since: tt.since, Foretold: scene.Range{Low: tt.low, High: tt.high}, Asked: tt.asked}
		v := view.View{Advice: add, Settling: probe.Estimate{Now: tt.ph}}
		b.Judge(&v)
		assert.Equal(t, tt.do, v.Advice.Do, tt.name)
	}
}
