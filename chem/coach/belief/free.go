package belief

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/nameless"
)

// free is the account without a name of a beaker that is somehow like its plan: it thinks of
// the capacity what the plan says of it in the medium of an aim, with what was added by the labels.
func free(b *account.Bench, h account.History, aim account.Aim) *nameless.Account {
	c := b.Water.Plus(1, b.Weighed)
	for _, a := range h.Additions {
		c = c.Plus(a.Volume.Litres(), b.Stocks[a.Stock].PerLitre)
	}
	return read(b, h, nameless.New(chem.PH(aim.Shown), nameless.CapacityOf(func(ph chem.PH) float64 {
		_, slope := b.Model.ChargeIn(float64(ph), aim.Medium, &c)
		return math.Max(-slope, 1e-12)
	}), nameless.LikePlan))
}

// stranger is that of a beaker that has nothing of the plan, or that has none.
func stranger(b *account.Bench, h account.History, aim float64) *nameless.Account {
	v := b.Start
	for _, a := range h.Additions {
		v += a.Volume
	}
	return read(b, h, nameless.New(chem.PH(aim), nameless.Unweighed(v), nameless.Unknown))
}

// lnStranger is how much less likely, ln, it is before any reading that a beaker has nothing
// to do with its plan than that it is somehow otherwise: a choice of this project.
const lnStranger = -1.5

// read gives the account the readings of a history. What happened off the record is known of a
// jump: more was given there than the additions say.
func read(b *account.Bench, h account.History, n *nameless.Account) *nameless.Account {
	if len(h.Observations) == 0 {
		return n
	}
	var steps []nameless.Step
	for i := 1; i < len(h.Observations); i++ {
		a, o := h.Observations[i-1], h.Observations[i]
		if h.Jump == 0 || a.After >= h.Jump || o.After < h.Jump {
			steps = append(steps, step(b, h.Additions[a.After:o.After], i, a, o))
		}
	}
	n.Read(shown(h.Observations[len(h.Observations)-1]), steps)
	return n
}

// step is what was added between reading number i and the one before.
func step(b *account.Bench, adds []account.Addition, i int, a, o account.Observation) nameless.Step {
	s := nameless.Step{Before: shown(a), After: shown(o), At: i}
	scatter, most := 0.0, 0.0
	for _, d := range adds {
		q := b.LabelledCharge(d)
		s.Charge += chem.Amount(q)
		scatter += math.Pow(q*b.ScatterOf(&d), 2)
		if math.Abs(q) > most {
			most, s.Stock = math.Abs(q), d.Stock
		}
	}
	s.Scatter = chem.Amount(math.Sqrt(scatter))
	return s
}

func shown(o account.Observation) nameless.Reading { return nameless.Reading{PH: o.PH, SD: o.SD} }

// buffers reports whether the plan has a buffer that another substance could stand instead of:
// with next to none the air does more.
func buffers(b *account.Bench) bool { return !b.Unweighed && b.Buffer >= leastBuffer*b.Water.Water }

// leastBuffer is the buffer, mol per kg of water, below which what the beaker is like is not
// asked about: some fifty times what the air brings.
const leastBuffer = 1e-3
