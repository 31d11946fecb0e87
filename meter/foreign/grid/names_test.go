package grid_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/foreign/grid"
)

// Units and their factors to s, mV and mL: the SI brochure, 9th edition, table 8 (min, h, d,
// L) and table 7 (prefixes); 1 mL is 1 cm³ by the definition of the litre there.
func TestUnits(t *testing.T) {
	for text, want := range map[string]grid.Unit{
		"s": {Quantity: "time", Factor: 1}, "ms": {Quantity: "time", Factor: 1e-3}, "min": {Quantity: "time", Factor: 60}, "h": {Quantity: "time", Factor: 3600}, "d": {Quantity: "time", Factor: 86400},
		"mV": {Quantity: "mv", Factor: 1}, "V": {Quantity: "mv", Factor: 1e3},
		"mL": {Quantity: "volume", Factor: 1}, "cm³": {Quantity: "volume", Factor: 1}, "µL": {Quantity: "volume", Factor: 1e-3}, "mm3": {Quantity: "volume", Factor: 1e-3}, "L": {Quantity: "volume", Factor: 1e3}, "dm3": {Quantity: "volume", Factor: 1e3},
		"drops": {Quantity: "drops", Factor: 1}, "°C": {Quantity: "temp", Factor: 1}, "C": {Quantity: "temp", Factor: 1},
		"mmol": {}, "g": {}, "mS/cm": {}, "%": {}, // known, and none of ours
	} {
		u, ok := grid.UnitOf(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, u, text)
	}
	for _, text := range []string{"", "furlong", "pH", "bottle"} {
		_, ok := grid.UnitOf(text)
		assert.False(t, ok, text)
	}
}

// Names of columns as people and instruments write them (common practice, no source), and
// what they say.
func TestNamesOfColumns(t *testing.T) {
	for name, want := range map[string]grid.Unit{
		"pH": {Quantity: "ph", Factor: 1}, "ph_value": {Quantity: "ph", Factor: 1}, "pH (25 °C)": {Quantity: "ph", Factor: 1}, "Channel A pH": {Quantity: "ph", Factor: 1},
		"pH mV":  {Quantity: "mv", Factor: 1},
		"E / mV": {Quantity: "mv", Factor: 1}, "potential (V)": {Quantity: "mv", Factor: 1e3}, "EMF": {Quantity: "mv", Factor: 1},
		"Volume.mL": {Quantity: "volume", Factor: 1}, "V / µL": {Quantity: "volume", Factor: 1e-3}, "V / mL (NaOH)": {Quantity: "volume", Factor: 1}, "volume added [L]": {Quantity: "volume", Factor: 1e3},
		"mL NaOH": {Quantity: "volume", Factor: 1}, "titrant": {Quantity: "volume", Factor: 1}, "NaOH": {Quantity: "volume", Factor: 1}, "burette reading": {Quantity: "volume", Factor: 1}, "V1": {Quantity: "volume", Factor: 1},
		"time_s": {Quantity: "time", Factor: 1}, "elapsed (min)": {Quantity: "time", Factor: 60}, "t": {Quantity: "time", Factor: 1}, "Date": {Quantity: "time", Factor: 1},
		"Temp": {Quantity: "temp", Factor: 1}, "T (°C)": {Quantity: "temp", Factor: 1}, "drops": {Quantity: "drops", Factor: 1},
		"dpH/dV": {}, "second derivative": {}, "target pH": {}, "pH calc": {}, "std": {}, "volume %": {}, "conductivity": {}, "n / mmol": {},
	} {
		u, ok := grid.Says(name)
		assert.True(t, ok, name)
		assert.Equal(t, want, u, name)
	}
	for _, name := range []string{"", "value", "x", "channel 2", "Series 1", "CH3"} {
		_, ok := grid.Says(name)
		assert.False(t, ok, "%q says nothing", name)
	}
	for _, name := range []string{"ΔpH", "dpH/dV", "fit", "set point", "pH error", "Gran"} {
		assert.True(t, grid.IsDerived(name), name)
	}
	assert.False(t, grid.IsDerived("pH"))
}
