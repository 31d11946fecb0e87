package coach

import "fmt"

// Dump shows a belief, for looking at it in tests.
func (b *Bench) Dump(r Request, dirs float64) {
	bel := b.Believe(r.with(r.Now.SD))
	for i := range bel.posts {
		p := &bel.posts[i]
		if p.weight < 1e-5 {
			break
		}
		name := "as planned"
		if p.hyp.mistake != nil {
			name = p.hyp.mistake.Code
		}
		fmt.Printf("%-40s care %.1f w %.5f ev %.2f aim %.3f x %.3f\n", name, p.hyp.care.drop, p.weight, p.logEv, p.aim.shown, p.x)
	}
	for j := range b.Stocks {
		d := bel.dosing(j, dirs)
		fmt.Printf("stock %d leads %v", j, d.leads())
		for n := 1.0; n < 300; n *= 2 {
			fmt.Printf(" %g:%.4f", n, d.chance(n))
		}
		fmt.Printf(" mean %.1f\n", -d.mid.missing/(d.mid.perL*b.Stocks[j].Drop.Litres()))
		for i, g := range d.limit {
			if bel.posts[i].weight > 0.001 {
				fmt.Printf("   goal %d: %+v chance1 %.4f\n", i, g, g.chance(dirs, b.Stocks[j].Drop.Litres(), 0.05))
			}
		}
	}
}
