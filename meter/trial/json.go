package trial

import (
	"encoding/json"
	"io"
	"math"
)

// number is a float that JSON can hold: null when it is not finite.
type number float64

// MarshalJSON writes null for what is not a number.
func (n number) MarshalJSON() ([]byte, error) {
	if f := float64(n); !math.IsNaN(f) && !math.IsInf(f, 0) {
		return json.Marshal(math.Round(f*1e6) / 1e6)
	}
	return []byte("null"), nil
}

type tableJSON struct {
	Tier       string    `json:"tier"`
	Seed       uint64    `json:"seed"`
	Runs       int       `json:"runs"`
	Tolerance  float64   `json:"tolerance"`
	Strategies []rowJSON `json:"strategies"`
}

type rowJSON struct {
	Name      string                    `json:"name"`
	Title     string                    `json:"title"`
	In        number                    `json:"in_tolerance"`
	Over      number                    `json:"overshoot"`
	Back      number                    `json:"back_titrated"`
	GaveUp    number                    `json:"gave_up"`
	Additions statJSON                  `json:"additions"`
	Seconds   statJSON                  `json:"seconds"`
	Mistakes  *mistakesJSON             `json:"mistakes,omitempty"`
	Confusion map[string]map[string]int `json:"confusion,omitempty"`
	Benches   []benchJSON               `json:"benches"`
}

type statJSON struct {
	Mean   number `json:"mean"`
	Median number `json:"median"`
	P95    number `json:"p95"`
	Max    number `json:"max"`
}

type mistakesJSON struct {
	Named number `json:"named"`
	Right number `json:"rightly"`
	Among number `json:"among"`
	Said  number `json:"or_as_one"`
	False number `json:"false_alarms"`
}

type benchJSON struct {
	Seed      uint64     `json:"seed"`
	System    string     `json:"system"`
	Gross     string     `json:"mistake"`
	In        bool       `json:"in_tolerance"`
	Over      bool       `json:"overshoot"`
	Back      bool       `json:"back_titrated"`
	Additions int        `json:"additions"`
	Seconds   number     `json:"seconds"`
	Final     number     `json:"final_ph"`
	Target    number     `json:"target_ph"`
	Worst     number     `json:"furthest_past_aim"`
	Checks    []string   `json:"checks,omitempty"`
	Noted     []string   `json:"noted,omitempty"`
	Brought   float64    `json:"brought,omitempty"`
	Named     [][]string `json:"named,omitempty"`
	Stuck     string     `json:"gave_up,omitempty"`
	Typed     int        `json:"typed,omitempty"` // values that were read off and typed
	Asked     int        `json:"asked,omitempty"` // of them, those that were asked about
}

// WriteJSON writes the table as one JSON object, each bench included.
func (t Table) WriteJSON(w io.Writer) error {
	out := tableJSON{Tier: t.Tier.String(), Seed: t.Seed, Runs: t.Runs, Tolerance: tolerance}
	for _, r := range t.Rows {
		row := rowJSON{
			Name: r.Strategy.Name, Title: r.Strategy.Title,
			In: number(r.In), Over: number(r.Over), Back: number(r.Back), GaveUp: number(r.GaveUp),
			Additions: r.Adds.json(), Seconds: r.Seconds.json(),
		}
		if r.Coached {
			row.Mistakes = &mistakesJSON{number(r.Named), number(r.Right), number(r.Among), number(r.Said), number(r.False)}
			row.Confusion = map[string]map[string]int{}
			for g, m := range r.Confused {
				row.Confusion[g.String()] = m
			}
		}
		for _, o := range r.Outcomes {
			row.Benches = append(row.Benches, o.json())
		}
		out.Strategies = append(out.Strategies, row)
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(out)
}

func (s Stat) json() statJSON {
	return statJSON{number(s.Mean), number(s.Median), number(s.P95), number(s.Max)}
}

func (o Outcome) json() benchJSON {
	return benchJSON{
		Seed: o.Seed, System: o.System, Gross: o.Gross.String(), In: o.In, Over: o.Over, Back: o.Back,
		Additions: o.Additions, Seconds: number(o.Seconds), Final: number(o.Final), Target: number(o.Target),
		Worst: number(o.Worst), Checks: o.Checks, Noted: o.Noted, Brought: o.Brought, Named: o.Named, Stuck: o.Stuck, Typed: o.Typed, Asked: o.Asked,
	}
}
