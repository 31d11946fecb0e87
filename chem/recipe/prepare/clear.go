package prepare

import (
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// Slow is a reagent that does not dissolve at once, and what brings it in.
type Slow struct {
	Reagent table.Reagent
	Part    float64     // of the titrant for the whole way that it takes; 0 is none
	Volume  chem.Volume // of the first titrant
	Dilute  bool        // it takes the water of the mark instead
}

// clear judges what is dissolved when: in the beaker at the start, on the way
// to the aim, at the mark, in use and in the cold.
func (x *Draft) clear() error {
	d := &x.Demand
	var list []table.Reagent
	late := map[string]bool{}
	for _, m := range x.Measures {
		if m.Bottle == nil {
			list = append(list, m.Reagent)
			late[m.Reagent.FullName()] = m.Late
		}
	}
	titrant := x.Titrants[0].Reagent
	// The beaker with a part of the titrant in it.
	with := func(part float64, v chem.Volume) (chem.Solution, *solved.Result, error) {
		s := x.Setup.Beaker(d.Bench)
		if x.Way == buffer.ByTitrant {
			add := titrant.Dissolved(chem.Amount(part * float64(x.Amount))).At(d.Bench)
			add.Volume = chem.Volume(part) * x.Titrants[0].Volume
			s = chem.Mix(s, add)
		}
		if part == 1 {
			late := x.Setup.Later().At(d.Bench)
			late.Volume = x.Setup.Final
			late.Volume = late.Solutes()
			s = chem.Mix(s, late)
		}
		s = s.MadeUpTo(v)
		r, err := solved.Describe(s)
		return s, r, err
	}
	end, r, err := with(1, 0)
	if err != nil {
		return err
	}
	if _, first, err := with(0, 0); err == nil {
		x.StartSD = first.Spread
	}
	weighed, _ := x.warming()
	chill := chem.Celsius(min(-weighed, float64(d.Bench))) // what it cools by as it dissolves
	for _, reagent := range list {
		one := []table.Reagent{reagent}
		if late[reagent.FullName()] { // into what it is at the end
			if err := table.CheckDissolved(one, end, r); err != nil {
				return err
			}
			continue
		}
		start, r0, err := with(0, 0)
		if err != nil {
			return err
		}
		if table.CheckDissolved(one, start, r0) == nil {
			x.Chilled = x.Chilled || chill > noticed && table.CheckDissolved(one, start.At(d.Bench-chill), r0) != nil
			continue
		}
		if table.CheckDissolved(one, end, r) != nil {
			full, rf, err := with(1, x.Setup.Final)
			if err != nil {
				return err
			}
			if err := table.CheckDissolved(one, full, rf); err != nil {
				return err
			}
			one := Slow{Reagent: reagent, Part: 1, Volume: x.Titrants[0].Volume, Dilute: true}
			if x.Way == buffer.BySalts {
				one.Part, one.Volume = 0, 0
			}
			x.Slow = append(x.Slow, one)
			continue
		}
		lo, hi := 0.0, 1.0
		for hi-lo > 0.01 {
			mid := (lo + hi) / 2
			s, r, err := with(mid, 0)
			if err != nil {
				return err
			}
			if table.CheckDissolved(one, s, r) == nil {
				hi = mid
			} else {
				lo = mid
			}
		}
		x.Slow = append(x.Slow, Slow{Reagent: reagent, Part: hi, Volume: chem.Volume(hi) * x.Titrants[0].Volume})
	}
	if err := table.CheckClear(r); err != nil {
		return err
	}
	return x.store(list, end)
}

// cold is the temperature of a refrigerator, and coolRoom that of a cool room, °C.
const (
	cold     = 4.0
	coolRoom = 18.0
)

// store notes what comes out at the mark, and in the cold.
func (x *Draft) store(list []table.Reagent, end chem.Solution) error {
	full := end.MadeUpTo(x.Setup.Final)
	at := func(t chem.Celsius) error {
		r, err := solved.Describe(full.At(t))
		if err != nil {
			return err
		}
		if err := table.CheckDissolved(list, full.At(t), r); err != nil {
			return err
		}
		return table.CheckClear(r)
	}
	if err := at(x.Demand.Bench); err != nil {
		return err
	}
	err := at(cold)
	var much *table.SolubilityError
	var solid *table.PrecipitateError
	what := ""
	switch {
	case errors.As(err, &much):
		what = much.Reagent
	case errors.As(err, &solid):
		what = solid.Solid.Name
	default:
		return err
	}
	lo, hi := chem.Celsius(cold), x.Demand.Bench
	for hi-lo > 0.5 {
		if mid := (lo + hi) / 2; at(mid) != nil {
			lo = mid
		} else {
			hi = mid
		}
	}
	x.Cold = fmt.Sprintf("at %g °C %s crystallises out: keep it at room temperature, or warm and shake it before use", cold, what)
	if hi > coolRoom {
		x.Cold = fmt.Sprintf("below about %.0f °C %s crystallises out, in a cool room too: keep it warm, or warm and shake it before use", math.Ceil(float64(hi)), what)
	}
	return nil
}

// words say how a slow reagent is brought in.
func (s Slow) words(titrant string) string {
	if s.Dilute {
		if s.Part == 0 {
			return fmt.Sprintf("%s does not dissolve in so little water: warm it, or add water up to near the mark, until it is clear, and only then read the pH.", s.Reagent.FullName())
		}
		return fmt.Sprintf("%s does not dissolve in so little water: carry on, it clears once made up to the mark.", s.Reagent.FullName())
	}
	return fmt.Sprintf("%s does not dissolve at once: add about %s of %s (%.0f %% of the way) and stir; it goes in as it is neutralised. Still cloudy after some minutes? More of it, in portions, short of the aim.", s.Reagent.FullName(), ml(s.Volume), titrant, 100*s.Part)
}
