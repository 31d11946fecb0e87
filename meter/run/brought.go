package run

import (
	"encoding/json"
	"fmt"
	"slices"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/journal"
)

// Recall is what earlier runs have shown of the bottles of a setup, now.
type Recall func(*recipe.Setup) bench.Taken

// WithKnown is the event that brings a bottle, with what is known of that bottle from
// earlier runs, and that in words. Without a recall, and of a bottle without a name, it
// is the event alone.
func (s State) WithKnown(e journal.Event, recall Recall) (journal.Event, []string) {
	var b recipe.Titrant
	if recall == nil || json.Unmarshal(e.Bottle, &b) != nil || b.Bottle == "" {
		return e, nil
	}
	next, err := s.bottled(e)
	if err != nil {
		return e, nil // it is refused for itself
	}
	all := recall(next.Setup)
	st := next.Setup.Stocks[len(next.Setup.Stocks)-1]
	t := bench.Taken{Notes: all.Notes}
	for _, x := range all.Stocks {
		if x.Titrant == st.Name {
			t.Stocks = append(t.Stocks, x)
		}
	}
	if len(t.Stocks) == 0 {
		return e, nil
	}
	known, err := json.Marshal(t)
	if err != nil {
		return e, nil
	}
	e.Known = known
	return e, t.Words()
}

// know takes over what an event says is known of a bottle that was brought.
func (s *State) know(known json.RawMessage) error {
	if len(known) == 0 {
		return nil
	}
	t, err := parseTaken(known)
	if err != nil {
		return fmt.Errorf("what is known of the bottle: %w", err)
	}
	all := bench.Taken{}
	if s.taken != nil {
		all = *s.taken
	}
	all.Stocks = append(slices.Clip(all.Stocks), t.Stocks...)
	s.taken = &all
	return nil
}
