package recorded_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/run/recorded"
)

func TestWhatCannotBeTheBeakerIsRefused(t *testing.T) {
	for name, tt := range map[string]struct {
		in      meter.Reading
		refused string // empty when it is taken
	}{
		"a pH":                  {meter.Reading{Quantity: meter.PH, Value: 7.02}, ""},
		"millivolts":            {meter.Reading{Quantity: meter.Millivolt, Value: -40}, ""},
		"just possible":         {meter.Reading{Quantity: meter.PH, Value: -1}, ""},
		"impossible":            {meter.Reading{Quantity: meter.PH, Value: 15.5}, "15.5 cannot be the pH of the beaker"},
		"impossible millivolts": {meter.Reading{Quantity: meter.Millivolt, Value: 900}, "cannot be the pH of the beaker"},
		"frozen":                {meter.Reading{Quantity: meter.PH, Value: 7, HasTemp: true, TempC: -20}, "-20 °C is not a plausible temperature"},
		"a broken probe":        {meter.Reading{Quantity: meter.PH, Value: 7, Flags: meter.BadTemp}, "impossible temperature"},
		"over range":            {meter.Reading{Quantity: meter.PH, Value: math.NaN(), Flags: meter.OverRange}, "over range"},
		"under range":           {meter.Reading{Quantity: meter.PH, Value: math.NaN(), Flags: meter.UnderRange}, "under range"},
		"no electrode":          {meter.Reading{Quantity: meter.PH, Value: math.NaN(), Flags: meter.NoProbe}, "finds no electrode"},
		"no number":             {meter.Reading{Quantity: meter.PH, Value: math.NaN()}, "shows no number"},
	} {
		t.Run(name, func(t *testing.T) {
			got := recorded.Reading(tt.in).Refused
			if tt.refused == "" {
				assert.Empty(t, got)
				return
			}
			assert.Contains(t, got, tt.refused)
		})
	}
}

// What is sent again is what came, but for what a journal does not keep.
func TestThereAndBack(t *testing.T) {
	in := meter.Reading{Quantity: meter.PH, Value: 4.92, Decimals: 2, MV: 122.8, HasMV: true, TempC: 25, HasTemp: true}
	assert.Equal(t, in, recorded.Sent(recorded.Reading(in)))
	mv := meter.Reading{Quantity: meter.Millivolt, Value: 122.8, Decimals: 1}
	assert.Equal(t, mv, recorded.Sent(recorded.Reading(mv)))
	bad := meter.Reading{Quantity: meter.PH, Value: 4.92, MV: math.NaN(), HasMV: true}
	require.Nil(t, recorded.Reading(bad).MV)
}

// 59.16 mV at 25 °C (USP <791>): one pH below 7.
func TestMillivoltsBecomeAPH(t *testing.T) {
	ph, ok := recorded.PH(recorded.Reading(meter.Reading{Quantity: meter.Millivolt, Value: 59.16}), 25)
	require.True(t, ok)
	assert.InDelta(t, 6, ph, 1e-4)
	assert.True(t, recorded.TypedFrom(recorded.ByHand+", the old meter"))
	assert.False(t, recorded.TypedFrom(recorded.ByHand+"!"))
}

// One damaged line keeps nothing back, two in a row do until a reading is used; a reading
// that is refused does at once. What was not used is spoken of for ten seconds; what came in
// the middle of a line, as a port was opened, counts for nothing and not once a reading came.
func TestUnused(t *testing.T) {
	holds := func(u recorded.Unused) bool { _, ok := u.Holds(); return ok }
	never := math.Inf(-1)
	one := recorded.Unused{}.Line(5, "7.0", "no unit", false)
	assert.False(t, holds(one))
	two := one.Line(6, "", "no line", false)
	assert.True(t, holds(two))
	assert.False(t, holds(two.Used()))
	assert.Equal(t, 2, two.Used().Count())
	assert.Equal(t, "“7.0”: no unit", one.Words(14.9, never))
	assert.Empty(t, one.Words(15, never))
	assert.Equal(t, "no line", two.Words(7, 6.5), "a reading does not make up for it")
	long := recorded.Unused{}.Line(5, "1234567890123456789012345", "too long", false)
	assert.Equal(t, "“12345678901234567890123…”: too long", long.Words(5, never))

	refused := recorded.Unused{}.Refuse(5, "", "over range")
	assert.True(t, holds(refused))
	assert.Equal(t, "over range", refused.Refusal())
	assert.Empty(t, refused.Used().Refusal())

	begun := recorded.Unused{}.Line(5, "4 pH", "no number", true)
	assert.Zero(t, begun.Count())
	assert.NotEmpty(t, begun.Words(6, never))
	assert.Empty(t, begun.Words(6, 5.5))
}
