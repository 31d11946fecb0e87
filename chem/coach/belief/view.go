package belief

import "example.org/halfdrop/chem"

// View is a pH as one account sees it, with the weight of all accounts that
// see the same: a mistake with a bottle that was not used yet is no other view
// of the bottles beside it.
type View struct {
	Goal
	Weight float64

	post *posterior
}

// Scatter is the relative standard deviation of the volume of drops of a stock, by that account.
func (v *View) Scatter(stock int, drops float64) float64 { return v.post.acc.Scatter(stock, drops) }

// Views are how the accounts on the list see, for a stock, the pH that is off their aim by so
// much, the likeliest first.
func (bel *Belief) Views(stock int, off chem.PH) (out []View) {
	for i := range bel.posts {
		p := &bel.posts[i]
		if p.weight < LeastWeight {
			break
		}
		if same := sees(out, p, stock); same != nil {
			same.Weight += p.weight
			continue
		}
		out = append(out, View{Goal: bel.goal(p, stock, p.aim.Shown+float64(off)), Weight: p.weight, post: p})
	}
	return out
}

// sees is the view that is also that of p, nil when there is none yet: the same
// fit, and the same in this bottle.
func sees(views []View, p *posterior, stock int) *View {
	for i := range views {
		q := views[i].post
		if &q.x[0] == &p.x[0] && q.acc.Stocks[stock] == p.acc.Stocks[stock] {
			return &views[i]
		}
	}
	return nil
}

// Goal is the pH that is off the aim by so much as the likeliest account sees it for a stock.
func (bel *Belief) Goal(stock int, off chem.PH) Goal {
	lead := &bel.posts[0]
	return bel.goal(lead, stock, lead.aim.Shown+float64(off))
}
