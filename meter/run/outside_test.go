package run_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
)

// The run is begun while the electrode stands in the standard of pH 7 still. Nothing is
// ordered on that, and nobody is asked about a crack before there was time to put it in.
func TestTheElectrodeIsNotInTheBeakerYet(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	still := b.shown(7.01, 0.002, 40)
	for i, v := range still {
		assert.Equal(t, coach.Wait, v.Advice.Do, "%d s: %s", i, v.Sentence())
	}
	assert.Contains(t, still[39].Note, "i when the electrode is in the beaker")
	in := b.shown(10.4, 0.002, 40) // Tris base, from then on
	assert.Equal(t, 0, dos(in)[coach.Check], in[39].Sentence())
	assert.NotZero(t, dos(in)[coach.Add])
}

// Who leaves it where it is, is asked in the end.
func TestTheElectrodeIsNeverPutIn(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	still := b.shown(7.01, 0.002, 70)
	assert.Zero(t, dos(still)[coach.Add])
	assert.Equal(t, coach.Check, still[69].Advice.Do)
	assert.Contains(t, still[69].Why(), "i when the electrode is in the beaker")
}
