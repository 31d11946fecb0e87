package heading_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/foreign/heading"
)

// The temperature of the sample, as people write it above a table; that of anything else is not
// taken for it.
func TestTemperatures(t *testing.T) {
	for line, want := range map[string]float64{
		"Temperature: 21.5 °C": 21.5, "temp (°C); 18": 18, "Temperatur 22,4": 22.4, "titrated at 20 °C": 20, "T = 19.5 deg C": 19.5, "Temp. 300 K": 0, "température : 20": 20,
		"calibrated at 25 °C": 0, "dried at 50 °C": 0, "buffer 7.00 at 25 °C": 0, "stored at 4 °C": 0, "boiled at 100 °C": 0, "temperature 70 °F": 0, "T = 300 K": 0,
		"attempt 21": 0, "template 5": 0, "0.1 C": 0, "temperature -5 °C": 0,
	} {
		k, _ := heading.From([]string{line})
		assert.InDelta(t, want, k.TempC, 1e-9, line)
		if want > 0 {
			assert.Contains(t, k.Words(), "°C", line)
			assert.Contains(t, k.Flags(), "--temp-c")
		}
	}
	k, _ := heading.From([]string{"temperature 20 °C", "temperature at the end 22.9 °C"})
	assert.InDelta(t, 20, k.TempC, 1e-9, "one and the same")
	k, _ = heading.From([]string{"temperature 20 °C", "temperature at the end 23.1 °C"})
	assert.Zero(t, k.TempC, "two")
	assert.Equal(t, "--sample-ml and --molar", k.Flags())
}

// A volume that stands before the word for the sample is that of the sample, and a strength
// beside it is none of a volume.
func TestSampleBehindItsVolume(t *testing.T) {
	for line, want := range map[string][2]float64{
		"25 ml sample, NaOH 0.1 mol/l": {25, 0.1}, "10.0 mL of the sample; HCl 0.02 M": {10, 0.02}, "50 mL aliquot": {50, 0},
		"vol. of sample 20": {20, 0}, "sample volume (mL) 25, 0.1 M": {25, 0},
	} {
		k, _ := heading.From([]string{line})
		assert.InDelta(t, want[0], k.SampleML, 1e-9, line)
		assert.InDelta(t, want[1], k.Molar, 1e-9, line)
	}
}
