package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/probe"
)

// Taken is what a run takes over from earlier ones, as the journal keeps it.
type Taken struct {
	Stocks    []TakenStock    `json:"stocks,omitempty"`
	Electrode *TakenElectrode `json:"electrode,omitempty"`
	Notes     []string        `json:"notes,omitempty"` // what was not taken over, and why
}

// TakenStock is what is known of the drops of a titrant, against its labels.
type TakenStock struct {
	Titrant     string    `json:"titrant"`
	Factor      float64   `json:"factor"`        // charge of a drop, times that by the labels
	SharedSDPct float64   `json:"shared_sd_pct"` // the part that bottles of one dropper share
	OwnSDPct    float64   `json:"own_sd_pct"`
	MLFactor    float64   `json:"ml_factor"` // of a volume in mL: the strength alone
	MLSDPct     float64   `json:"ml_sd_pct"`
	ByML        bool      `json:"by_ml,omitempty"` // it is given by a pipette or a burette
	Runs        int       `json:"runs"`
	Last        time.Time `json:"last"`
	CarbonPct   float64   `json:"carbonate_pct,omitempty"` // of a base, mol in 100 mol
	CarbonSDPct float64   `json:"carbonate_sd_pct,omitempty"`
}

// TakenElectrode is what is known of the electrode.
type TakenElectrode struct {
	Electrode
	FreshPct float64   `json:"fresh_pct"` // share of an electrode that nobody knows
	Last     time.Time `json:"last"`
}

// Empty reports whether nothing is taken over.
func (t *Taken) Empty() bool { return t == nil || len(t.Stocks) == 0 && t.Electrode == nil }

// Give tells a coach what was taken over.
func (t *Taken) Give(b *coach.Bench) {
	if t == nil {
		return
	}
	for _, s := range t.Stocks {
		for j := range b.Stocks {
			if b.Stocks[j].Name == s.Titrant {
				give(b, j, &s)
				b.Stocks[j].Learned = &coach.Learned{LnFactor: math.Log(s.Factor), LnPoured: math.Log(s.MLFactor),
					SharedSD: s.SharedSDPct / 100, OwnSD: s.OwnSDPct / 100, PouredSD: s.MLSDPct / 100, Seen: s.Runs > 0}
			}
		}
	}
}

// Probe is the electrode to begin with.
func (t *Taken) Probe() probe.Electrode {
	if t == nil || t.Electrode == nil {
		return probe.Unknown()
	}
	return t.Electrode.known().Electrode(t.Electrode.FreshPct / 100)
}

// Valid reports what cannot be in what a journal says was taken over.
func (t *Taken) Valid() error {
	if t == nil {
		return nil
	}
	for _, s := range t.Stocks {
		for _, x := range []float64{s.Factor, s.MLFactor} {
			if !(x > 1e-3 && x < 1e3) {
				return fmt.Errorf("%s: a factor of %g cannot be", s.Titrant, x)
			}
		}
		if !(s.CarbonPct >= 0 && s.CarbonPct <= 100 && s.CarbonSDPct >= 0 && s.CarbonSDPct <= 100) {
			return fmt.Errorf("%s: %g ± %g %% of carbonate cannot be", s.Titrant, s.CarbonPct, s.CarbonSDPct)
		}
		for _, x := range []float64{s.SharedSDPct, s.OwnSDPct, s.MLSDPct} {
			if !(x >= 0 && x <= 500) {
				return fmt.Errorf("%s: a spread of %g %% cannot be", s.Titrant, x)
			}
		}
	}
	if t.Electrode != nil {
		return t.Electrode.valid()
	}
	return nil
}

func (e *Electrode) valid() error {
	if !(e.TauS > 0.01 && e.TauS < 1e4 && e.TauSDPct >= 0 && e.TauSDPct < 1e3 && e.LargePct >= 0 && e.LargePct <= 100) {
		return fmt.Errorf("electrode %q: figures that cannot be", e.Name)
	}
	for _, l := range [][]float64{e.LatePct, e.NoisePH, e.NoisePct, e.NoiseFirm} {
		if len(l) != 3 || slices.ContainsFunc(l, func(x float64) bool { return !(x >= 0 && x <= 1e4) }) {
			return fmt.Errorf("electrode %q: three figures from 0 on are wanted", e.Name)
		}
	}
	return nil
}

// Recall is what a plan may take over at a time, on an electrode of a name.
func (b *Book) Recall(s *recipe.Setup, electrode string, at time.Time) Taken {
	var t Taken
	j := b.jointly(s, at, &t)
	for i, st := range s.Stocks {
		if s.Plan.Find != nil && s.What == find.Strength && i == 0 {
			continue // it is what is looked for
		}
		k, ok := j.stock(i)
		if st.ByML {
			k, ok = b.bottle(st, at, &t)
		}
		if ok {
			k.Titrant = st.Name
			t.Stocks = append(t.Stocks, k)
		}
	}
	t.Electrode = b.electrode(electrode, at)
	return t
}

// electrode is what the latest run with it has learned: it had begun with what was
// known before.
func (b *Book) electrode(name string, at time.Time) *TakenElectrode {
	if strings.TrimSpace(name) == "" {
		return nil
	}
	var out *TakenElectrode
	for i := range b.Runs {
		r := &b.Runs[i]
		if r.Electrode == nil || !same(r.Electrode.Name, name) || out != nil && r.At.Before(out.Last) {
			continue
		}
		days := math.Max(at.Sub(r.At).Hours()/24, 0)
		out = &TakenElectrode{Electrode: *r.Electrode, Last: r.At, FreshPct: percent(1 - electrodeMost*math.Exp2(-days/electrodeHalf))}
	}
	return out
}

// seen is one finding: ln(µmol a drop), or of a size or a strength alone.
type seen struct {
	dropper, bottle string // empty for none
	run             int    // that it shares an error with; below 0 for none
	at              time.Time
	y               float64 // ln, against the mean before it
	shared, own     float64 // standard deviations, ln
}

// joint is what is thought of droppers and bottles together.
type joint struct {
	s       *recipe.Setup
	at      time.Time
	seen    []seen
	chol    []float64
	v       []float64
	dropVar map[string]float64 // prior of ln drop, by dropper
	strVar  map[string]float64
}

// named reports whether a titrant is of a bottle that has a name.
func named(t recipe.Stock) bool { return t.Bottle != "" && !t.ByML }

// jointly gathers what was seen of the droppers and bottles of a plan.
func (b *Book) jointly(s *recipe.Setup, at time.Time, t *Taken) *joint {
	j := &joint{s: s, at: at, dropVar: map[string]float64{}, strVar: map[string]float64{}}
	lnDrop, lnMolar := map[string]float64{}, map[string]float64{}
	reagent, opened := map[string]string{}, map[string]time.Time{}
	for _, st := range s.Stocks {
		if !named(st) {
			continue
		}
		d, k := dropperOf(st.DropperName, st.Bottle), strings.ToLower(st.Bottle)
		lnDrop[d], j.dropVar[d] = math.Log(st.Drop.Microlitres()), st.DropSD*st.DropSD
		lnMolar[k], j.strVar[k] = math.Log(float64(st.Molar)), st.MolarSD*st.MolarSD
		reagent[k] = st.Reagent.Name
		opened[k], _ = time.Parse(time.DateOnly, st.Opened) // zero when it is not known
	}
	for _, w := range b.Weighs {
		d := strings.ToLower(w.Dropper)
		if _, ok := lnDrop[d]; ok { // what was weighed stands for what was thought
			j.see(seen{dropper: d, run: -1, at: w.At, y: math.Log(w.UL) - lnDrop[d], own: w.SDPct / 100})
		}
	}
	for _, x := range b.Stated {
		k := strings.ToLower(x.Bottle)
		if _, ok := lnMolar[k]; ok && !x.At.Before(opened[k]) {
			j.see(seen{bottle: k, run: -1, at: x.At, y: math.Log(x.Molar) - lnMolar[k], own: x.SDPct / 100})
		}
	}
	for i, r := range b.Runs {
		for _, x := range r.Drops {
			k, d := strings.ToLower(strings.TrimSpace(x.Bottle)), x.dropper()
			ln, ok := lnMolar[k]
			_, given := lnDrop[d]
			switch {
			case !ok && !given:
				continue
			case !ok: // another bottle at the same dropper tells something of the dropper
				lnMolar[k], j.strVar[k] = math.Log(x.Molar), otherBottle*otherBottle
				reagent[k], ln = x.Reagent, math.Log(x.Molar)
			case x.Reagent != reagent[k]:
				t.note("bottle %s held %s on %s: not taken over", x.Bottle, x.Reagent, day(r.At))
				continue
			case math.Abs(math.Log(x.Molar)-ln) > relabelled:
				t.note("bottle %s was labelled %g mol/L on %s: not taken over", x.Bottle, x.Molar, day(r.At))
				continue
			case r.At.Before(opened[k]):
				t.note("bottle %s was opened after the run of %s: not taken over", x.Bottle, day(r.At))
				continue
			}
			if !given {
				lnDrop[d], j.dropVar[d] = math.Log(x.DropUL), otherDropper*otherDropper
			}
			j.see(seen{dropper: d, bottle: k, run: i, at: r.At, y: math.Log(x.Umol) - lnDrop[d] - ln, shared: r.SharedSDPct / 100, own: x.SDPct / 100})
		}
	}
	j.solve()
	return j
}

func (t *Taken) note(format string, args ...any) {
	if s := fmt.Sprintf(format, args...); !slices.Contains(t.Notes, s) {
		t.Notes = append(t.Notes, s)
	}
}

func day(t time.Time) string { return t.Format(time.DateOnly) }

func (j *joint) see(s seen) { j.seen = append(j.seen, s) }

// alike is the covariance of the true values behind two findings. A random walk
// has in common what both have gone since now: the way of the younger.
func (j *joint) alike(a, b *seen) float64 {
	m := math.Min(months(a.at, j.at), months(b.at, j.at))
	c := 0.0
	if a.dropper != "" && a.dropper == b.dropper {
		c += j.dropVar[a.dropper] + dropWalk*dropWalk*m
	}
	if a.bottle != "" && a.bottle == b.bottle {
		c += j.strVar[a.bottle] + bottleWalk*bottleWalk*m
	}
	return c
}

// solve conditions on what was seen.
func (j *joint) solve() {
	n := len(j.seen)
	j.chol, j.v = make([]float64, n*n), make([]float64, n)
	for i := range j.seen {
		a := &j.seen[i]
		for k := range i + 1 {
			b := &j.seen[k]
			c := j.alike(a, b)
			if a.run >= 0 && a.run == b.run {
				c += a.shared * b.shared
			}
			if a.dropper != "" && a.dropper == b.dropper && a.run == b.run {
				c += session * session
			}
			if i == k {
				c += a.own*a.own + 1e-8
			}
			j.chol[i*n+k] = c
		}
		j.v[i] = a.y
	}
	for i := range n {
		for k := range i + 1 {
			c := j.chol[i*n+k]
			for m := range k {
				c -= j.chol[i*n+m] * j.chol[k*n+m]
			}
			if i == k {
				j.chol[i*n+i] = math.Sqrt(math.Max(c, 1e-12))
			} else {
				j.chol[i*n+k] = c / j.chol[k*n+k]
			}
		}
	}
	j.forward(j.v)
}

func (j *joint) forward(v []float64) {
	n := len(j.seen)
	for i := range n {
		for k := range i {
			v[i] -= j.chol[i*n+k] * v[k]
		}
		v[i] /= j.chol[i*n+i]
	}
}

// now is what a finding of today would be of, and its whitened covariance with
// what was seen.
func (j *joint) now(dropper, bottle string) (q seen, w []float64, mean float64) {
	q = seen{dropper: dropper, bottle: bottle, run: -1, at: j.at}
	w = make([]float64, len(j.seen))
	for i := range j.seen {
		w[i] = j.alike(&j.seen[i], &q)
	}
	j.forward(w)
	for i := range w {
		mean += w[i] * j.v[i]
	}
	return q, w, mean
}

func (j *joint) cov(a *seen, wa []float64, b *seen, wb []float64) float64 {
	c := j.alike(a, b)
	for i := range wa {
		c -= wa[i] * wb[i]
	}
	return c
}

// stock is what is known of the drops of one stock; ok is false when nothing is.
func (j *joint) stock(i int) (k TakenStock, ok bool) {
	st := j.s.Stocks[i]
	if !named(st) {
		return k, false
	}
	d, bottle := dropperOf(st.DropperName, st.Bottle), strings.ToLower(st.Bottle)
	runs := map[int]bool{}
	for _, x := range j.seen {
		if x.dropper != d && x.bottle != bottle {
			continue
		}
		if x.run >= 0 && x.bottle == bottle {
			runs[x.run] = true
		}
		if x.at.After(k.Last) {
			k.Last = x.at
		}
	}
	if k.Last.IsZero() {
		return k, false
	}
	q, w, mean := j.now(d, bottle)
	all := j.cov(&q, w, &q, w) + session*session
	s, ws, ml := j.now("", bottle)
	k.Runs = len(runs)
	k.Factor, k.MLFactor = digits(math.Exp(mean), 5), digits(math.Exp(ml), 5)
	shared := j.shared(i, all)
	k.SharedSDPct, k.OwnSDPct = sd(shared), sd(all-shared)
	k.MLSDPct = sd(j.cov(&s, ws, &s, ws))
	return k, true
}

// shared is the part of the variance of a drop that the bottles of its dropper have
// in common: what the coach calls the error of the dropper. It is the same number
// for all of them.
func (j *joint) shared(i int, all float64) float64 {
	st := j.s.Stocks[i]
	d := dropperOf(st.DropperName, st.Bottle)
	v := math.Inf(1)
	for a, x := range j.s.Stocks {
		if !named(x) || dropperOf(x.DropperName, x.Bottle) != d {
			continue
		}
		qa, wa, _ := j.now(d, strings.ToLower(x.Bottle))
		v = math.Min(v, 0.9*(j.cov(&qa, wa, &qa, wa)+session*session))
		for _, y := range j.s.Stocks[:a] {
			if !named(y) || dropperOf(y.DropperName, y.Bottle) != d {
				continue
			}
			qb, wb, _ := j.now(d, strings.ToLower(y.Bottle))
			v = math.Min(v, math.Max(j.cov(&qa, wa, &qb, wb)+session*session, 0))
		}
	}
	return math.Min(v, all)
}

func sd(v float64) float64 { return digits(100*math.Sqrt(math.Max(v, 1e-10)), 3) }
