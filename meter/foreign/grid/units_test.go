package grid_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A row of units below names: what a name says already is not said twice.
func TestUnitsBelowNames(t *testing.T) {
	for name, c := range map[string]struct {
		head string
		want []string
	}{
		"names without":       {"t,V,pH\ns,mL,-", []string{"t (s)", "V (mL)", "pH"}},
		"names with brackets": {"t (s),V [mL],pH\ns,mL,pH", []string{"t (s)", "V [mL]", "pH"}},
		"after a stroke":      {"t/s,V / mL,pH\n(s),(mL),[pH]", []string{"t/s", "V / mL", "pH"}},
		"in a word":           {"time_s,Volume.mL,pH\ns,ml,", []string{"time_s", "Volume.mL", "pH"}},
		"forms of time":       {"Time [hh:mm:ss],V,pH\nhh:mm:ss,mL,", []string{"Time [hh:mm:ss]", "V (mL)", "pH"}},
		"another unit":        {"t (min),V (mL),pH\ns,µL,", []string{"t (min) (s)", "V (mL) (µL)", "pH"}},
		"brackets of more":    {"t,V (NaOH),pH\ns,mL,", []string{"t (s)", "V (NaOH) (mL)", "pH"}},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, c.want, found(t, c.head+"\n0,0,3.0\n30,1,3.5\n60,2,4.0\n90,3,4.5\n120,4,5.5\n").Header)
		})
	}
}
