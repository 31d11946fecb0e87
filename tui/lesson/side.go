package lesson

import (
	"example.org/halfdrop/tui/screen/menu"
)

// side is what stands beside the list for an exercise: its story, what is to be done,
// and what stands on the bench.
func (f *Lesson) side(p picked) *menu.Side {
	if p.exercise == nil {
		return nil
	}
	t := f.sitting(p.exercise).task()
	return &menu.Side{Title: t.Title, Words: append([]string{t.Story, t.Goal}, t.Bench...)}
}
