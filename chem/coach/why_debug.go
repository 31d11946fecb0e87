package coach

import (
	"fmt"
	"math"
	"os"
	"sort"
)

var whyDebug = os.Getenv("HD_WHY") != ""

func (h *hypothesis) codeOf() string {
	if h.mistake == nil {
		return "planned"
	}
	return h.mistake.Code
}

func (d *dosing) explain(n float64) {
	type part struct {
		name string
		w, c float64
	}
	var list []part
	vol := n * d.b.Stocks[d.stock].Drop.Litres()
	for i := range d.limit {
		v := &d.limit[i]
		name := "planned"
		if m := v.post.hyp.mistake; m != nil {
			name = m.Code
		}
		name += fmt.Sprintf("/%.1f", v.post.hyp.care.drop)
		list = append(list, part{name, v.weight, v.chance(d.dir, vol, d.b.scatter(v.post.hyp, d.stock, n)) - v.already})
	}
	f := d.bel.free
	to := f.aim + d.dir*d.b.Tolerance
	rel := d.b.scatter(&hypothesis{care: cares[0]}, d.stock, n)
	list = append(list, part{"nameless", f.weight, f.beyond(d.dir, to, d.charge(n), d.stock, rel) - f.beyond(d.dir, to, 0, d.stock, 0)})
	sort.Slice(list, func(a, b int) bool { return list[a].w*list[a].c > list[b].w*list[b].c })
	fmt.Fprintf(os.Stderr, "  %g drops of %s (most %.0f), limit %.4f: chance %.4f;", n, d.b.Stocks[d.stock].Name, d.most(), d.bel.limit(), d.chance(n))
	v := &d.limit[0]
	q := &d.bel.posts[0]
	fmt.Fprintf(os.Stderr, " [%s missing %.3g sd %.1f%% lnSD %.1f%% pull %.2f total %.1f%% obs", v.post.hyp.codeOf(), v.missing, 100*v.sd/math.Abs(v.missing), 100*v.lnSD, v.pull/v.missing, 100*math.Hypot(v.sd/v.missing, v.lnSD*(1-(-v.pull/v.missing))))
	for _, o := range d.bel.hist.Observations {
		fmt.Fprintf(os.Stderr, " %.3f±%.3f", o.PH, o.SD)
	}
	for i := range q.x {
		fmt.Fprintf(os.Stderr, " x%d %.3f", i, q.x[i])
	}
	fmt.Fprint(os.Stderr, "]")
	for _, p := range list[:min(3, len(list))] {
		fmt.Fprintf(os.Stderr, " %s w %.4f c %.3f;", p.name, p.w, p.c)
	}
	fmt.Fprintln(os.Stderr)
}
