package pool_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/pool"
)

// Two-sided critical values at 5 % for one outlier: ISO 5725-2, table 5, as it is
// printed in many textbooks (from memory).
func TestGrubbsTable(t *testing.T) {
	for n, want := range map[int]float64{3: 1.155, 4: 1.481, 5: 1.715, 6: 1.887, 7: 2.020, 8: 2.126, 9: 2.215, 10: 2.290} {
		assert.InDelta(t, want, pool.Grubbs(n, 0.05), 0.001, "n = %d", n)
	}
}

func TestRepeats(t *testing.T) {
	var list []pool.Value
	for _, x := range []float64{0.1012, 0.1014, 0.1009, 0.1019} {
		list = append(list, pool.Value{Value: x, SD: 0.0002})
	}
	p, err := pool.Repeats(list, 0)
	require.NoError(t, err)
	// A worked example: mean 0.10135, s 0.000420, t(3) = 3.182, interval ± 0.00067
	// (t from any table; the rest by hand).
	assert.InDelta(t, 0.10135, p.Mean, 1e-9)
	assert.InDelta(t, 0.000420, p.SD, 1e-6)
	assert.InDelta(t, 0.00067, (p.High-p.Low)/2, 5e-6)
	assert.Equal(t, 3, p.Suspect)
	assert.False(t, p.Outlier())

	q, err := pool.Repeats(list, 0.0005)
	require.NoError(t, err)
	assert.Greater(t, q.High-q.Low, p.High-p.Low, "what is shared does not average out")

	p, err = pool.Repeats(append(list[:3:3], pool.Value{Value: 0.1013}, pool.Value{Value: 0.1011}, pool.Value{Value: 0.1065}), 0)
	require.NoError(t, err)
	assert.Equal(t, 5, p.Suspect)
	assert.True(t, p.Outlier())

	p, err = pool.Repeats(list[:2], 0)
	require.NoError(t, err)
	assert.Equal(t, -1, p.Suspect, "of two nobody knows which is off")

	_, err = pool.Repeats(nil, 0)
	require.ErrorIs(t, err, pool.ErrNone)
}
