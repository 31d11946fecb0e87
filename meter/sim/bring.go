package sim

import (
	"slices"

	"example.org/halfdrop/chem/recipe"
)

// Bring puts another bottle on the bench. Nothing is wrong with it.
func (b *Bench) Bring(st recipe.Stock) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.present()
	setup := *b.setup
	setup.Stocks = append(slices.Clip(setup.Stocks), st)
	systems := recipe.Union(b.systems, b.truth.shifted(setup.Systems())...)
	now, use, err := b.models(b.model.Temp(), systems)
	if err != nil {
		return err
	}
	if err := b.shelve(now, st); err != nil {
		return err
	}
	b.systems, b.model, b.use, b.setup = systems, now, use, &setup
	return nil
}
