package answers

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/view"
)

// Mark is the mark of a plan, as it was meant and as it is in use.
type Mark struct {
	planned float64 // mL
	now     chem.Volume
}

// How many times the mark of the plan a new one may be, and one that is proposed: who
// needs more has another bottle in hand than the plan has.
const (
	mostMark = 5
	askMark  = 2
)

// spareMark is how many times what is needed there is to be room for.
const spareMark = 1.3

// MarkOf is the mark of a plan that is in use as set up.
func MarkOf(planned recipe.Plan, setup *recipe.Setup) Mark {
	m := Mark{planned: setup.Final.Millilitres(), now: setup.Final}
	if ml := planned.Beaker.FinalML; ml != nil {
		m.planned = *ml
	}
	return m
}

// Roomier is a mark, mL, under which there is room for what is in the beaker, what is still
// needed, as it is believed, and to spare; 0 when no mark that could be meant is enough. Of
// what is needed nobody may know: +Inf mL.
func (m Mark) Roomier(in chem.Volume, needML float64) float64 {
	if math.IsInf(needML, 1) {
		needML = 0.1 * m.now.Millilitres()
	}
	mark := math.Max(in.Millilitres()+spareMark*needML, 1.02*m.now.Millilitres())
	step := math.Pow10(int(math.Floor(math.Log10(mark)))) / 20 // a twentieth: 5 mL of 100
	mark = math.Min(math.Ceil(mark/step)*step, askMark*m.planned)
	if mark <= m.now.Millilitres() {
		return 0
	}
	return mark
}

// Check says what is wrong with a new mark, mL; nil for nothing.
func (m Mark) Check(ml float64) error {
	if most := mostMark * m.planned; !(ml > m.now.Millilitres() && ml <= most) {
		return fmt.Errorf("the new mark must be above %s and at most %.0f mL", view.Millilitres(m.now), most)
	}
	return nil
}
