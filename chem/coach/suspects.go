package coach

import (
	"math"
	"slices"
	"sort"
)

// maxSuspects is how many accounts are named at once.
const maxSuspects = 3

// suspects are the gross mistakes that the readings speak for, the likeliest
// first, and the probability that it is not "as planned".
func (bel *Belief) suspects() ([]Mistake, float64) {
	var list []suspect
	total := 0.0
	if bel.bench.Unweighed {
		if m := bel.mishap(); m != nil {
			return []Mistake{*m}, unplannedSure
		}
		return nil, 0
	}
	if m, w := bel.absent(); w >= mistakeAt {
		return []Mistake{*m}, w
	}
	if bel.strange() {
		return []Mistake{{Name: "another substance in the beaker than planned", Code: Another}}, bel.free.weight
	}
	for i := range bel.posts {
		m := bel.posts[i].hyp.mistake
		if m == nil {
			continue
		}
		total += bel.posts[i].weight
		k := slices.IndexFunc(list, func(s suspect) bool { return s.Code == m.Code })
		if k < 0 {
			k, list = len(list), append(list, suspect{Mistake: *m})
		}
		list[k].weight += bel.posts[i].weight
	}
	sort.SliceStable(list, func(a, c int) bool { return list[a].weight > list[c].weight })
	var out []Mistake
	for _, s := range list {
		if len(out) == maxSuspects || len(out) > 0 && s.weight < suspectShare*list[0].weight {
			break
		}
		out = append(out, s.Mistake)
	}
	return out, total
}

// absent is the account of a beaker that holds nothing of what was to be weighed, and its
// share of all on the list that go by the reading, before anything was given: an electrode
// that hangs elsewhere, and the account without a name, have any first reading. 0 later,
// where the readings tell it from those.
func (bel *Belief) absent() (m *Mistake, w float64) {
	if len(bel.hist.Additions) > 0 {
		return nil, 0
	}
	for i := range bel.posts {
		if h := bel.posts[i].hyp; h.mistake != nil && h.mistake.Weighed != nil && h.mistake.Buffer == 0 {
			m, w = h.mistake, w+bel.posts[i].weight
		}
	}
	if w < leastAbsent {
		return nil, 0
	}
	return m, w / math.Max(w, 1-bel.deaf-bel.free.weight)
}

// leastAbsent is the weight among all accounts below which it is none of the reading.
const leastAbsent = 4e-5

// Another is the code of a beaker that answers as nothing on the list does.
const Another = "another"

// strange reports whether what was given says that the beaker is none of those on the list,
// and nobody has looked for that yet.
func (bel *Belief) strange() bool {
	return bel.bench.buffers() && len(bel.hist.Additions) > 0 && bel.free.weight >= strangeAt && !slices.Contains(bel.hist.Looked, Another)
}

// buffers reports whether the plan has a buffer that another substance could stand instead of:
// with next to none the air does more.
func (b *Bench) buffers() bool { return !b.Unweighed && b.Buffer >= leastBuffer*b.Water.Water }

// leastBuffer is the buffer, mol per kg of water, below which what the beaker is like is not
// asked about: some fifty times what the air brings.
const leastBuffer = 1e-3

// strangeAt is the weight of the account without a name from which on that is asked about.
const strangeAt = 0.98

type suspect struct {
	Mistake
	weight float64
}
