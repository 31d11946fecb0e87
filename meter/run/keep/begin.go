package keep

import (
	"encoding/json"
	"fmt"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
)

// Origin is where a run comes from, for its first event.
type Origin struct {
	Program  string // with its version
	Source   string // of the readings
	Operator string // empty for nobody named
}

// Begin is the first event of a run of a plan.
func Begin(p recipe.Plan, at time.Time, from Origin) (journal.Event, error) {
	plan, err := json.Marshal(p)
	if err != nil {
		return journal.Event{}, fmt.Errorf("plan: %w", err)
	}
	return journal.Event{
		Seq: 1, At: at, Kind: journal.Started,
		Start: &journal.Start{Format: journal.Format, Program: from.Program, Plan: plan, Operator: from.Operator, Source: from.Source},
	}, nil
}
