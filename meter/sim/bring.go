package sim

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
)

// Bring puts another bottle on the bench. Nothing is wrong with it.
func (b *Bench) Bring(st recipe.Stock) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.present()
	setup := *b.setup
	setup.Stocks = append(slices.Clip(setup.Stocks), st)
	old := b.systems
	for _, s := range b.truth.shifted(setup.Systems()) {
		if !slices.ContainsFunc(b.systems, func(have *chem.System) bool { return have.Name == s.Name }) {
			b.systems = append(slices.Clip(b.systems), s)
		}
	}
	m, err := chem.NewModel(b.model.Temp(), b.systems)
	if err != nil {
		b.systems = old
		return fmt.Errorf("sim: %w", err)
	}
	use, err := chem.NewModel(setup.UseTemp, b.systems)
	if err != nil {
		b.systems = old
		return fmt.Errorf("sim: %w", err)
	}
	c, err := m.Compose(st.PerLitre(m.Temp()))
	if err != nil {
		b.systems = old
		return fmt.Errorf("sim: %s: %w", st.Name, err)
	}
	kg := c.Water
	c = chem.Composition{}.Plus(math.Exp(at(b.truth.LnStrength, len(b.bottles))), c)
	c.Water = kg
	b.model, b.use, b.setup = m, use, &setup
	b.bottles, b.names = append(b.bottles, c), append(b.names, st.Name)
	return nil
}
