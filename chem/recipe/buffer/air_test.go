package buffer_test

import (
	"testing"

	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The half-life of iron(II) in water under air is about 4 min at pH 7 and 40 at 6.5
// (textbooks of aquatic chemistry, after Stumm & Lee 1961, from memory): a hundred
// times shorter a pH higher.
func TestWhatTheAirDoesToIron(t *testing.T) {
	iron, err := table.ByAmount("FeSO4")
	require.NoError(t, err)
	say := func(ph float64) []string { return buffer.InAir([]table.Reagent{iron}, ph, 25) }
	require.Len(t, say(7), 1)
	assert.Contains(t, say(7)[0], "about 4 min")
	assert.Contains(t, say(6.5)[0], "about 40 min")
	assert.Contains(t, say(7.5)[0], "a minute or less")
	assert.Empty(t, say(6.32), "an hour and a half")
	assert.Empty(t, say(5))
	ferric, err := table.ByAmount("FeCl3")
	require.NoError(t, err)
	assert.Empty(t, buffer.InAir([]table.Reagent{ferric}, 8, 25))
}

// Half of an acid is there at its pK: 4.72 of hydrazoic, 3.17 of hydrofluoric and 1.86 of
// sulfurous acid (CRC Handbook, from memory); two pH above a hundredth.
func TestWhatPoisonousGasesLeave(t *testing.T) {
	for name, of := range map[string]struct {
		pk  float64
		gas string
	}{"sodium azide": {4.72, "hydrazoic acid"}, "sodium fluoride": {3.17, "hydrofluoric acid"}, "sodium sulfite": {1.86, "sulfur dioxide"}} {
		pk := of.pk
		r, err := table.ByAmount(name)
		require.NoError(t, err)
		share, gas := buffer.Gas(r, pk, 25)
		assert.InDelta(t, 0.5, share, 0.03, name)
		assert.Regexp(t, "^"+of.gas+", .*poison", gas)
		said := buffer.InAir([]table.Reagent{r}, pk+1.9, 25)
		require.Len(t, said, 1, name)
		assert.Contains(t, said[0], of.gas)
		assert.Empty(t, buffer.InAir([]table.Reagent{r}, pk+2.1, 25), name)
	}
	salt, err := table.ByAmount("NaCl")
	require.NoError(t, err)
	share, _ := buffer.Gas(salt, 1, 25)
	assert.Zero(t, share)
}

// What acid makes a gas of goes in last, and so does what water decomposes; what is the gas at
// the end has its share in the pH, and what never comes near it may go in at once.
func TestWhatGoesInLast(t *testing.T) {
	say := func(name string, onTheWay, end float64) (out []string) {
		r, err := table.ByAmount(name)
		require.NoError(t, err)
		for _, x := range buffer.Waits([]table.Reagent{r}, onTheWay, end, 25, func(table.Reagent) bool { return end < 8.5 }) {
			assert.Equal(t, name != "SDS" && name != "DTT", x.Gas, name)
			out = append(out, x.Words)
		}
		return out
	}
	assert.Equal(t, []string{"sodium azide: acid turns it into a poisonous, explosive gas: never acidify it"}, say("sodium azide", 8, 8))
	require.Len(t, say("SDS", 8, 8), 1)
	assert.Contains(t, say("SDS", 8, 8)[0], "clogs its junction")
	assert.Empty(t, say("sodium azide", 4.5, 4.5))
	assert.Empty(t, say("sodium fluoride", 6, 8))
	require.Len(t, say("sodium fluoride", 3.17, 7), 1)
	assert.Regexp(t, `before, at pH 3\.2, (49|50|51) % of it is hydrofluoric acid`, say("sodium fluoride", 3.17, 7)[0])
	assert.Empty(t, say("NaCl", 1, 7))
	assert.Equal(t, []string{"DTT: air oxidises it within hours to days, faster at high pH and with metals"}, say("DTT", 7, 8))
	assert.Empty(t, say("DTT", 7, 9), "it has a share in the pH")
}

// Iron(II) of which air takes half in 75 minutes is not said to be taken, and in 45 it is: by hand,
// ln 2/(8·10¹³ · 0.21 · [OH⁻]²), at pH 6.37 and 6.48.
func TestIronThatLastsAnHour(t *testing.T) {
	iron, err := table.ByAmount("FeCl2")
	require.NoError(t, err)
	assert.Empty(t, buffer.InAir([]table.Reagent{iron}, 6.37, 25))
	assert.Len(t, buffer.InAir([]table.Reagent{iron}, 6.48, 25), 1)
}
