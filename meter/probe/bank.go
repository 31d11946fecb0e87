package probe

import "math"

// bank follows all cells of the grid that are still worth it. It is not changed
// once it has been handed on: each step makes a new one.
type bank struct {
	t          float64 // s, of the latest reading
	nodes      []node
	hiss       [len(noiseMid)]hiss
	resolution float64
	went, base float64 // pH: how far the end values have gone of late, and the last of them
	unseen     float64 // pH, what an electrode may have gone before anybody looked
	fresh      float64 // 1 when the beaker came to rest, falling to 0 as the electrode forgets the step
	loose      float64 // pH² per second, by which it wanders more than at rest because it still mixes
}

// hiss is what is known of the noise under one class of it: an inverse gamma
// distribution of its variance.
type hiss struct{ shape, scale float64 }

// Figures of judgement, a choice of this project.
const (
	temper     = 0.65 // power of the likelihood: all cells are a little wrong
	prune      = 12.0 // ln, below the best: not worth following
	noiseKeep  = 1 - 1.0/60
	plainFast  = 0.05  // of what the fast part lacks: what is left over then is not noise alone
	mostLeft   = 9.0   // times the noise: more is no noise
	noiseDF    = 2.0   // how firmly the noise of a class is known, half of the degrees of freedom
	startSD    = 3.0   // pH, of where the beaker is, seen from the first reading
	beforeSD   = 1.5   // pH, of where the electrode stood before
	putInShare = 0.3   // of the way of an electrode that was put in, which it may have gone already
	unseenWay  = 1.0   // pH, as far as what no electrode does is concerned
	wentTau    = 150.0 // s, in which an electrode forgets where it has been
)

// open is a bank at the first reading.
func open(e *Electrode, t, y, resolution float64) *bank {
	b := &bank{t: t, hiss: e.hiss, resolution: resolution, base: y, fresh: 1, unseen: unseenWay}
	b.nodes = make([]node, 0, cells)
	noise := b.noises()
	for i, c := range allCells {
		if math.IsInf(e.logW[i], -1) {
			continue
		}
		n := node{cell: c, logW: e.logW[i], from: y}
		m, sd := shareMean[c.share], shareSD[c.share]
		n.x[xEnd], n.x[xShare] = y, m
		n.move(startSD * startSD)
		for j := range states { // there is nothing to mix: the electrode meets the liquid at once
			n.p[xMix][j], n.p[j][xMix] = 0, 0
		}
		n.p[xFast][xFast] += noise[c.noise]
		n.lack((m*m + sd*sd) * beforeSD * beforeSD)
		n.p[xShare][xShare] = sd * sd
		n.positive = n.lnPositive()
		b.nodes = append(b.nodes, n)
	}
	b.trim()
	return b
}

// noises are the variances of a reading by the classes of noise.
func (b *bank) noises() (v [len(noiseMid)]float64) {
	for i, h := range b.hiss {
		v[i] = h.scale/h.shape + b.resolution*b.resolution/12
	}
	return v
}

// clone is a bank whose nodes may be changed.
func (b *bank) clone() *bank {
	out := *b
	out.nodes = append([]node(nil), b.nodes...)
	return &out
}

// ahead is the bank at time t, before the reading then; wander is the variance a
// second by which the beaker may have moved until then.
func (b *bank) ahead(t, wander float64) *bank {
	dt := math.Max(t-b.t, 0)
	fade := math.Exp(-dt / looseTau)
	wander = wander*dt + b.loose*looseTau*(1-fade)
	p := paceOf(dt, b.nodes)
	out := b.clone()
	out.t = t
	forgets := math.Exp(-dt / wentTau)
	out.went *= forgets
	out.unseen *= forgets
	out.fresh *= forgets
	out.loose *= fade
	for i := range out.nodes {
		out.nodes[i].ahead(&p, wander)
	}
	return out
}

// way is how far the electrode has come of late, the steps that it begins to
// forget counted less; end is where it is going.
func (b *bank) way(end float64) float64 { return b.went + math.Abs(end-b.base)*b.fresh }

// begun is a bank in which the beaker's pH begins to change.
func (b *bank) begun() *bank {
	out := b.spread()
	end := b.sum().end
	out.went, out.base, out.fresh = b.way(end), end, 1
	for i := range out.nodes {
		out.nodes[i].begin()
	}
	return out
}

// One composition is read much like the last, not exactly: an electrode gets
// slower in the cold and quicker with use, by a factor of two within an hour
// (measured). By how much the weights of neighbouring cells are mixed when the
// beaker changes.
const (
	fastMixed  = 0.10 // to each neighbour
	fastMixed2 = 0.03 // and to the next
	lateMixed  = 0.05
	shareMixed = 0.06
	noiseMixed = 0.01
	shareAgain = 0.15 // of the share, by which it may be another
	spreadFrom = 1e-3 // weight of a cell that is taken up anew
)

// spread is the bank with the neighbours of its cells.
func (b *bank) spread() *bank {
	var w, best [cells]float64
	var from [cells]*node
	give := func(c cell, p float64, n *node) {
		i := c.index()
		w[i] += p
		if p > best[i] {
			best[i], from[i] = p, n
		}
	}
	for i := range b.nodes {
		n := &b.nodes[i]
		p := n.w
		for d, q := range fastKernel {
			f := int(n.fast) + d - len(fastKernel)/2
			if f < 0 || f >= fastSize {
				continue
			}
			for l := range lateGrid {
				for s := range shareMean {
					for h := range noiseMid {
						q := p * q * kept(l == int(n.late), lateMixed) * kept(s == int(n.share), shareMixed) * kept(h == int(n.noise), noiseMixed)
						if l != int(n.late) {
							q *= lateOdds[l][s]
						}
						if q > spreadFrom*0.1 {
							give(cell{uint8(f), uint8(l), uint8(s), uint8(h)}, q, n)
						}
					}
				}
			}
		}
	}
	out := *b
	out.nodes = nil
	for i, p := range w {
		if p < spreadFrom {
			continue
		}
		n := *from[i]
		c := allCells[i]
		if v := &n.p[xShare][xShare]; c.share != n.share {
			*v = math.Max(*v, shareSD[c.share]*shareSD[c.share])
		}
		n.p[xShare][xShare] += math.Pow(shareAgain*n.x[xShare], 2)
		n.cell, n.logW, n.positive = c, math.Log(p), n.lnPositive()
		out.nodes = append(out.nodes, n)
	}
	out.trim()
	return &out
}

var fastKernel = [...]float64{fastMixed2, fastMixed, 1 - 2*fastMixed - 2*fastMixed2, fastMixed, fastMixed2}

// kept is the part of a weight that stays where it is, or that each other place gets.
func kept(same bool, mixed float64) float64 {
	if same {
		return 1 - mixed
	}
	return mixed
}

// Titrant mixes in with a tail: for some seconds after the last drop the end
// value may still move by a part of what it has gone.
const (
	looseTau   = 2.5   // s
	looseShare = 0.03  // of the way, a root second
	looseLeast = 0.003 // pH, a root second
	looseNoise = 0.4   // of the noise, a root second: when the last drop fell is not known better
)

// loosened is a bank in which the last of a change is still mixing.
func (b *bank) loosened() *bank {
	out := *b
	s := b.sum()
	w := looseShare*math.Abs(s.end-b.base) + looseLeast + looseNoise*math.Sqrt(s.noise)
	out.loose, out.fresh = w*w, 1
	return &out
}

// changed is a bank in which the beaker's pH has just moved by about d, give or
// take the root of v.
func (b *bank) changed(d, v float64) *bank {
	out := b.begun()
	for i := range out.nodes {
		out.nodes[i].shift(d)
		out.nodes[i].move(v)
	}
	return out.loosened()
}

// placed is a bank of an electrode that has come into another liquid: what it
// shows has gone by d within dt seconds, which leads on as far as its time
// constant says; there is nothing to mix. When nothing has shown yet, d is 0 and it
// may go as far as least. It may be the same liquid, in which drops have acted faster than
// was known to be possible.
func (b *bank) placed(d, dt, least float64, same bool) *bank {
	out := b.clone()
	out.fresh = 1
	noise := out.noises()
	for i := range out.nodes {
		n := &out.nodes[i]
		m, v := n.x[xShare], n.p[xShare][xShare]
		late, lateV := 0.0, 0.0
		if same { // what the late part has not caught up with it lacks still
			late, lateV = n.x[xLate], n.p[xLate][xLate]
			if d == 0 { // rinsed for a moment, or not at all: it may have lost any part of that
				lateV += late * late
			}
		}
		n.x = [states]float64{xEnd: n.shown() + d - late, xLate: late, xShare: m}
		n.p = [states][states]float64{}
		n.p[xShare][xShare] = v
		n.p[xLate][xLate], n.p[xEnd][xEnd] = lateV, lateV
		n.p[xLate][xEnd], n.p[xEnd][xLate] = -lateV, -lateV
		way := least
		if d != 0 {
			way = math.Min(math.Abs(d)/-math.Expm1(-dt/fastGrid[n.cell.fast]), farthest)
		}
		n.move(way * way)
		for j := range states {
			n.p[xMix][j], n.p[j][xMix] = 0, 0
		}
		n.p[xFast][xFast] += noise[n.cell.noise]
		if d == 0 { // when it was put in is not known to the second
			n.p[xFast][xFast] += putInShare * putInShare * least * least
		}
		n.begin()
	}
	return out
}

// farthest is how far an electrode may have to go, pH.
const farthest = 6.0

// expect tells all cells of a reading, and is what they expected of it together:
// mean and variance, noise included.
func (b *bank) expect(y float64) (mean, variance float64) {
	noise, sum := b.noises(), 0.0
	for i := range b.nodes {
		n := &b.nodes[i]
		n.expect(y, noise[n.cell.noise])
		w := n.w
		sum += w
		mean += w * n.res
		variance += w * (n.pred + n.res*n.res)
	}
	mean /= sum
	return y - mean, variance/sum - mean*mean
}

// learn takes the reading that was expected last. To be called on a bank that
// nobody else holds. While the beaker changes, what fits badly is not noise, and
// nothing is learned of that; then it is the log density of the reading.
func (b *bank) learn(changing bool) float64 {
	noise := b.noises()
	var left, weight, clear [len(noiseMid)]float64
	lik, sum := 0.0, 0.0
	for i := range b.nodes {
		n := &b.nodes[i]
		h := noise[n.cell.noise]
		l := n.logLik(h)
		w := n.w
		if changing {
			sum += w
			lik += w * math.Exp(l)
		} else {
			n.logW += temper * l
		}
		fast := plainFast * n.x[xFast]
		plain := h / (h + fast*fast)
		r, v := n.take(h, changing)
		if !changing {
			n.sharing()
		}
		left[n.cell.noise] += w * plain * math.Min(r*r+v, mostLeft*h)
		weight[n.cell.noise] += w
		clear[n.cell.noise] += w * plain
	}
	// Variational Bayes for the noise (S. Särkkä, A. Nummenmaa, IEEE Trans.
	// Autom. Control 54, 596, 2009, from memory).
	for i := range b.hiss {
		if h := &b.hiss[i]; weight[i] > 1e-9 && !changing {
			p := clear[i] / weight[i]
			keep := 1 - p*(1-noiseKeep)
			h.shape = keep*h.shape + 0.5*p
			h.scale = keep*h.scale + 0.5*left[i]/weight[i]
		}
	}
	b.trim()
	if changing {
		return math.Log(math.Max(lik/sum, 1e-300))
	}
	return math.NaN()
}

// trim brings the weights to a sum of 1 and drops what is not worth following.
func (b *bank) trim() {
	most := math.Inf(-1)
	for i := range b.nodes {
		most = math.Max(most, b.nodes[i].logW)
	}
	kept, sum := 0, 0.0
	for i := range b.nodes {
		n := &b.nodes[i]
		if n.logW -= most; n.logW > -prune {
			if kept < i {
				b.nodes[kept] = *n
			}
			kept, sum = kept+1, sum+math.Exp(n.logW)
		}
	}
	b.nodes = b.nodes[:kept]
	sum = math.Log(sum)
	for i := range b.nodes {
		n := &b.nodes[i]
		n.logW -= sum
		n.w = math.Exp(n.logW)
	}
}
