package find

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// level is the net charge of a composition held at the pH of a reading, and how
// it hangs on everything that is not known.
type level struct {
	shown  float64   // the pH that the meter shows
	charge float64   // mol; zero when all is as believed
	grad   []float64 // by each unknown
	slope  float64   // by the pH, mol per pH; below zero
	per    []float64 // charge of a litre of each stock, as counted, there
}

// factors are what one unit as labelled brings, by what is believed.
type factors struct {
	part, strength, size []float64
}

func (b *Bench) factorsOf(x []float64) (f factors) {
	for k := range b.Parts {
		f.part = append(f.part, math.Exp(x[b.iPart(k)]))
	}
	for j := range b.Stocks {
		f.strength = append(f.strength, math.Exp(x[b.iStrength(j)]))
		f.size = append(f.size, math.Exp(x[b.iSize(j)]))
	}
	return f
}

// litre is what a litre of a stock as counted brings. The strength of a base is what it
// neutralises to pH 8 to 9, as its standardisation finds it; carbonate in it, which counts
// once there, comes on top with the base that it has cost.
func (b *Bench) litre(j int, f *factors, x []float64) chem.Composition {
	s := &b.Stocks[j]
	c := s.PerLitre.Stronger(f.strength[j])
	if i := b.carbonate(); i >= 0 && b.mayCarbonate(j) {
		n := x[b.iCarbon(j)] * s.Molar * f.strength[j]
		c.Totals[i] += n
		c.Charge += n
		c.Strength += math.Abs(n)
	}
	return chem.Composition{}.Plus(f.size[j], c)
}

// mayCarbonate reports whether a stock is a base that carbon dioxide gets into.
func (b *Bench) mayCarbonate(j int) bool {
	return b.Stocks[j].CarbonSD > 0 || b.Stocks[j].Carbonate > 0
}

// volumes are how much of each stock had been added after so many additions, L.
func (b *Bench) volumes(adds []coach.Addition, after int) []float64 {
	v := make([]float64, len(b.Stocks))
	for _, a := range adds[:min(after, len(adds))] {
		v[a.Stock] += a.Volume.Litres()
	}
	return v
}

// beaker is what is in it when so much of each stock has been added.
func (b *Bench) beaker(x []float64, f *factors, vol []float64) chem.Composition {
	c := b.Water
	c.Charge += x[iExcess]
	c.Strength += math.Abs(x[iExcess])
	for k, p := range b.Parts {
		c = c.Plus(f.part[k], p.Dry)
	}
	for j, v := range vol {
		if v != 0 {
			c = c.Plus(v, b.litre(j, f, x))
		}
	}
	return c
}

// truePH is the pH in the beaker when the meter shows y.
func truePH(x []float64, y float64) float64 { return y - x[iShift] - x[iSlope]*(y-7) }

// shownPH is the pH that the meter shows in a beaker of a pH.
func shownPH(x []float64, ph float64) float64 {
	return (ph + x[iShift] - 7*x[iSlope]) / (1 - x[iSlope])
}

// room holds the media of one reading, of the base model and of the moved ones.
type room []chem.Medium

func (b *Bench) newRoom() room { return make(room, 1+len(b.PKs)) }

// levelAt is the charge balance of a beaker with so much of each stock, at the pH
// that the meter shows.
func (b *Bench) levelAt(m *models, x []float64, f *factors, vol []float64, y float64, md room) level {
	c := b.beaker(x, f, vol)
	ph := truePH(x, y)
	bal := m.base.BalanceIn(ph, &md[0], &c)
	lv := level{shown: y, charge: bal.Charge, slope: bal.Slope, grad: make([]float64, b.unknowns()), per: make([]float64, len(b.Stocks))}
	lv.grad[iShift], lv.grad[iSlope], lv.grad[iExcess] = -bal.Slope, -bal.Slope*(y-7), 1
	in := func(c *chem.Composition) float64 {
		q, _ := m.base.ChargeIn(ph, &md[0], c)
		return q
	}
	for k, p := range b.Parts {
		lv.grad[b.iPart(k)] = in(&p.Dry) * f.part[k]
	}
	carb := b.carbonate()
	for j, v := range vol {
		l := b.litre(j, f, x)
		lv.per[j] = in(&l)
		lv.grad[b.iSize(j)] = v * lv.per[j]
		w := chem.Composition{Water: b.Stocks[j].PerLitre.Water * f.size[j]}
		lv.grad[b.iStrength(j)] = v * (lv.per[j] - in(&w))
		if carb >= 0 && b.mayCarbonate(j) {
			var one chem.Composition
			one.Totals[carb] = b.Stocks[j].Molar * f.strength[j] * f.size[j]
			one.Charge = one.Totals[carb]
			lv.grad[b.iCarbon(j)] = v * in(&one)
		}
	}
	for i := range b.PKs {
		if c.Totals[b.PKs[i].System] == 0 {
			continue
		}
		q := m.moved[i].BalanceIn(ph, &md[1+i], &c).Charge
		g := (q - bal.Charge) / pkStep
		lv.grad[b.iPK(i)] = g
		lv.charge += g * (x[b.iPK(i)] - m.at[i])
	}
	return lv
}

// bend is the covariance of two charge balances by the meter: what shift and slope
// leave of the error of its scale is alike at readings that are near.
func (b *Bench) bend(la, lb *level) float64 {
	d := (la.shown - lb.shown) / bendLength
	return la.slope * lb.slope * b.BendSD * b.BendSD * math.Exp(-d*d/2)
}

// scatter is what the volumes on record have of errors of their own, by stock and
// number of additions.
type scatter struct {
	sum   [][]float64 // L², of all additions until then
	count [][]int     // of them
}

func (b *Bench) scatterOf(adds []coach.Addition) (s scatter) {
	for j := range b.Stocks {
		sum, count := make([]float64, len(adds)+1), make([]int, len(adds)+1)
		for i, a := range adds {
			sum[i+1], count[i+1] = sum[i], count[i]
			if a.Stock == j {
				sum[i+1] += b.Stocks[j].scatter(a)
				count[i+1]++
			}
		}
		s.sum, s.count = append(s.sum, sum), append(s.count, count)
	}
	return s
}

// noise is the covariance of two charge balances, after ka and kb additions, by
// the scatter of drops and the reading of a scale.
func (b *Bench) noise(s *scatter, ka, kb int, la, lb *level) float64 {
	sum := 0.0
	for j := range b.Stocks {
		st := &b.Stocks[j]
		v := s.sum[j][min(ka, kb)]
		if st.By == Burette {
			v = 0
			if s.count[j][ka] > 0 && s.count[j][kb] > 0 {
				v = st.ReadSD.Litres() * st.ReadSD.Litres() // of the zero, common to both
				if s.count[j][ka] == s.count[j][kb] {
					v *= 2
				}
			}
		}
		sum += v * la.per[j] * lb.per[j]
	}
	return sum
}

// scatter is the variance of one addition, L².
func (s *Stock) scatter(a coach.Addition) float64 {
	if s.By == Pipette || a.Drops == 0 && s.By == Drops {
		return s.ReadSD.Litres() * s.ReadSD.Litres()
	}
	d := dropShare * s.Step.Litres()
	return d * d * max(a.Drops, 1)
}
