package bench

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
)

// What is taken over reaches the coach as it is: a drop that brings a fifth more than its
// labels say, and a volume that brings a tenth more.
func TestTakenIsGiven(t *testing.T) {
	taken := Taken{Stocks: []TakenStock{{Titrant: "NaOH 1 M", Factor: 1.2, MLFactor: 1.1, SharedSDPct: 2, OwnSDPct: 3, MLSDPct: 4, Runs: 1}}}
	var b coach.Bench
	b.Stocks = []coach.Stock{{Name: "HCl 1 M"}, {Name: "NaOH 1 M"}}
	taken.Give(&b)
	require.Nil(t, b.Stocks[0].Learned)
	l := b.Stocks[1].Learned
	require.NotNil(t, l)
	assert.InDelta(t, math.Log(1.2), l.LnFactor, 1e-12)
	assert.InDelta(t, math.Log(1.1), l.LnPoured, 1e-12)
	assert.Equal(t, []float64{0.02, 0.03, 0.04}, []float64{l.SharedSD, l.OwnSD, l.PouredSD})
	assert.True(t, l.Seen)
}

// Names are those of what is known, each once; nothing known is an empty list of JSON.
func TestNamesAndJSON(t *testing.T) {
	now := time.Date(2026, 11, 26, 9, 0, 0, 0, time.UTC)
	var b Book
	var out strings.Builder
	require.NoError(t, WriteJSON(&out, b, now))
	var j map[string][]any
	require.NoError(t, json.Unmarshal([]byte(out.String()), &j))
	for _, k := range []string{"drops", "stated", "electrodes", "notes"} {
		assert.NotNil(t, j[k], k)
	}
	b.State(Stated{Bottle: "K4", Molar: 0.1, SDPct: 0.2, At: now})
	b.State(Stated{Bottle: "B7", Molar: 1, SDPct: 0.2, At: now})
	b.State(Stated{Bottle: "K4", Molar: 0.11, SDPct: 0.2, At: now})
	b.Runs = append(b.Runs, Run{At: now, Electrode: &Electrode{Name: "E7", TauS: 5}})
	assert.Equal(t, []string{"B7", "E7", "K4"}, b.Names(now))
}
