package belief

import (
	"math"
	"slices"
	"sort"

	"example.org/halfdrop/chem/coach/account"
)

// maxSuspects is how many accounts are named at once.
const maxSuspects = 3

// Figures of judgement, a choice of this project.
const (
	// NamedAt is the probability of any mistake at which it is named.
	NamedAt = 0.86
	// A mistake is named beside the likeliest one from this share of its probability.
	suspectShare = 0.15
)

// Suspects are the gross mistakes that the readings speak for, the likeliest
// first, and the probability that it is not "as planned".
func (bel *Belief) Suspects() ([]account.Mistake, float64) {
	list := make([]suspect, 0, len(bel.posts))
	total := 0.0
	if bel.Bench.Unweighed {
		if list := bel.mishaps(); len(list) > 0 {
			return list[:min(len(list), maxSuspects)], unplannedSure
		}
		return nil, 0
	}
	if m, w := bel.absent(); w >= NamedAt {
		return []account.Mistake{*m}, w
	}
	if bel.strange() {
		return []account.Mistake{{Name: "another substance in the beaker than planned", Code: Another}}, bel.Free.Weight
	}
	for i := range bel.posts {
		m := bel.posts[i].acc.Mistake
		if m == nil {
			continue
		}
		total += bel.posts[i].weight
		k := slices.IndexFunc(list, func(s suspect) bool { return s.Code == m.Code })
		if k < 0 {
			k, list = len(list), append(list, suspect{Mistake: m})
		}
		list[k].weight += bel.posts[i].weight
	}
	sort.SliceStable(list, func(a, c int) bool { return list[a].weight > list[c].weight })
	var out []account.Mistake
	for _, s := range list {
		if len(out) == maxSuspects || len(out) > 0 && s.weight < suspectShare*list[0].weight {
			break
		}
		out = append(out, *s.Mistake)
	}
	return out, total
}

// absent is the account of a beaker that holds nothing of what was to be weighed, and its
// share of all on the list that go by the reading, before anything was given: an electrode
// that hangs elsewhere, and the account without a name, have any first reading. 0 later,
// where the readings tell it from those.
func (bel *Belief) absent() (m *account.Mistake, w float64) {
	if len(bel.History.Additions) > 0 {
		return nil, 0
	}
	for i := range bel.posts {
		if is := bel.posts[i].acc.Mistake; is != nil && is.Weighed != nil && is.Buffer == 0 {
			m, w = is, w+bel.posts[i].weight
		}
	}
	if w < leastAbsent {
		return nil, 0
	}
	return m, w / math.Max(w, 1-bel.deaf-bel.Free.Weight)
}

// leastAbsent is the weight among all accounts below which it is none of the reading.
const leastAbsent = 4e-5

// Another is the code of a beaker that answers as nothing on the list does.
const Another = "another"

// strange reports whether what was given says that the beaker is none of those on the list,
// and nobody has looked for that yet.
func (bel *Belief) strange() bool {
	return buffers(bel.Bench) && len(bel.History.Additions) > 0 && bel.Free.Weight >= strangeAt && !slices.Contains(bel.History.Looked, Another)
}

// strangeAt is the weight of the account without a name from which on that is asked about.
const strangeAt = 0.98

type suspect struct {
	*account.Mistake
	weight float64
}
