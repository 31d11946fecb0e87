package probe

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
)

func TestTrace(t *testing.T) {
	s, err := strconv.Atoi(os.Getenv("SEED"))
	if err != nil {
		t.Skip()
	}
	seed := uint64(s)
	kd := kinds[0]
	g := newGlass(kd, seed, 7, 3+6*rand.New(rand.NewPCG(seed, 5)).Float64())
	fmt.Printf("fast %.2f share %.3f late %.0f noise %.4f mix %.1f\n", g.fast, g.share, g.late, g.noise, g.mix)
	k := Track(Unknown()).Resolve(math.Pow10(-kd.digits))
	clock := 0.0
	show := func() {
		e := k.Estimate(clock)
		var w [3]float64
		var u, sh [3]float64
		for i := range k.bank.nodes {
			n := &k.bank.nodes[i]
			p := math.Exp(n.logW)
			w[n.late] += p
			u[n.late] += p * n.x[xEnd]
			sh[n.late] += p * n.x[xShare]
		}
		fmt.Printf("%4.0f end %.4f±%.4f true %.4f now %.4f noise %.4f tau %.2f |", clock, e.End, e.SD, g.pool, e.Now, e.Noise, e.Tau)
		for i := range w {
			fmt.Printf(" T%.0f: %.3f U %.4f s %.3f |", lateGrid[i], w[i], u[i]/w[i], sh[i]/w[i])
		}
		fmt.Println(e.State, len(k.bank.nodes))
	}
	for step := 0; step < 3; step++ {
		for i := 0; i < []int{25, 40, 60}[step]; i++ {
			clock++
			g.to(clock)
			k = k.Push(clock, g.read())
			show()
		}
		d := []float64{1.5, 0.7, 0.3, 0.1, 0.05}[step] * (0.7 + 0.6*g.r.Float64())
		drops := 3 + g.r.IntN(40)
		for i := 0; i < drops; i++ {
			g.pool += d / float64(drops)
			if i%2 == 1 {
				clock++
				g.to(clock)
				k = k.Push(clock, g.read())
				show()
			}
		}
		for i := 0; i < 4; i++ {
			clock++
			g.to(clock)
			k = k.Push(clock, g.read())
			show()
		}
		k, _ = k.Give(Addition{Seq: int64(step + 1), T: clock, From: math.NaN(), Step: d, SD: 0.1 * d})
		fmt.Println("given")
	}
}
