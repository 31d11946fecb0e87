package find

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
)

// models are the chemistry at some values of the constants that are unknown, and
// with one of them moved at a time.
type models struct {
	base  *chem.Model
	moved []*chem.Model
	at    []float64 // shift of each PK
}

// pkStep is by how much a constant is moved to see what it does.
const pkStep = 0.02

// nearPK is how far a constant may be from that of the models.
const nearPK = 0.06

// modelsAt are the models for the constants of x. They are kept: a belief moves little.
func (b *Bench) modelsAt(x []float64) (*models, error) {
	at := make([]float64, len(b.PKs))
	for i := range at {
		at[i] = math.Round(x[b.iPK(i)]/nearPK) * nearPK
	}
	key := fmt.Sprint(at)
	b.mu.Lock()
	defer b.mu.Unlock()
	if m := b.models[key]; m != nil {
		return m, nil
	}
	m := &models{at: at}
	var err error
	if m.base, err = b.modelOf(at); err != nil {
		return nil, err
	}
	for i := range at {
		at[i] += pkStep
		one, err := b.modelOf(at)
		at[i] -= pkStep
		if err != nil {
			return nil, err
		}
		m.moved = append(m.moved, one)
	}
	if b.models == nil || len(b.models) > 64 {
		b.models = map[string]*models{}
	}
	b.models[key] = m
	return m, nil
}

func (b *Bench) modelOf(shift []float64) (*chem.Model, error) {
	list := slices.Clone(b.Systems)
	for i, k := range b.PKs {
		if shift[i] == 0 {
			continue
		}
		s := *list[k.System]
		s.Steps = slices.Clone(s.Steps)
		s.Steps[k.Step] = s.Steps[k.Step].Moved(shift[i])
		list[k.System] = &s
	}
	m, err := chem.NewModel(b.Temp, list)
	if err != nil {
		return nil, fmt.Errorf("find: %w", err)
	}
	return m, nil
}
