package probe

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"
)

func TestFile(t *testing.T) {
	f, err := os.Open(os.Getenv("FILE"))
	if err != nil {
		t.Skip()
	}
	k := Track(Unknown()).Resolve(0.001)
	if os.Getenv("DIG") == "2" {
		k = k.Resolve(0.01)
	}
	sc := bufio.NewScanner(f)
	n := int64(0)
	for sc.Scan() {
		var e struct {
			T, True float64
			PH      *float64
			Added   any
		}
		json.Unmarshal(sc.Bytes(), &e)
		if e.PH == nil {
			n++
			var g Given
			k, g = k.Give(Addition{Seq: n, T: e.T, From: math.NaN(), Step: 0.3, SD: 0.1})
			fmt.Printf("GIVE %.0f from %.1f before %.4f±%.4f\n", e.T, g.From, g.Before.End, g.Before.SD)
			k = k.Await(1)
			continue
		}
		k = k.Push(e.T, *e.PH)
		if fmt.Sprint(e.T) == os.Getenv("AWAIT") {
			k = k.Await(1)
		}
		fmt.Println(k.bank.classes(), k.bank.hiss)
		es := k.Estimate(e.T)
		fmt.Printf("%4.0f y %.3f true %.4f end %.4f±%.4f final %.4f now %.4f noise %.4f tau %.2f late %.3f %s nodes %d held %d up %.1f down %.1f first %.1f free %v moves %d\n", e.T, *e.PH, e.True, es.End, es.SD, es.FinalSD, es.Now, es.Noise, es.Tau, es.Late, es.State, len(k.bank.nodes), len(k.held), k.up.sum, k.down.sum, k.first.sum, k.free, len(k.Moves()))
	}
}
