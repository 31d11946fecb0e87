package run

import (
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/settle"
)

// inForce is the number of additions not withdrawn.
func (s *State) inForce() int {
	n := 0
	for _, e := range s.entries {
		if !e.Undone {
			n++
		}
	}
	return n
}

// position is the place of entry i among the additions in force.
func (s *State) position(i int) int {
	n := 0
	for _, e := range s.entries[:i] {
		if !e.Undone {
			n++
		}
	}
	return n
}

// history is what the coach is told of the past.
func (s *State) history() coach.History {
	h := coach.History{Observations: s.observed}
	for _, e := range s.entries {
		if !e.Undone {
			h.Additions = append(h.Additions, coach.Addition{Stock: e.Stock, Volume: e.Volume, Drops: e.Drops})
		}
	}
	return h
}

// request is what the coach is asked with an estimate of the present reading.
func (s *State) request(est settle.Estimate) coach.Request {
	r := coach.Request{
		History: s.history(), Confirmed: s.confirmed,
		Now: coach.Present{PH: est.End, SD: est.SD, FinalSD: est.FinalSD, Settled: est.State == settle.Settled},
	}
	if s.advice != nil {
		r.Held = s.held()
	}
	return r
}

func (s *State) held() *coach.Held {
	h := &coach.Held{Drops: s.advice.Drops}
	switch s.advice.Do {
	case coach.Add.String():
		h.Do = coach.Add
	case coach.Stop.String():
		h.Do = coach.Stop
	default:
		return nil
	}
	h.Stock = max(0, slices.IndexFunc(s.Setup.Stocks, func(st recipe.Stock) bool { return st.Name == s.advice.Titrant }))
	return h
}
