package meter

import (
	"fmt"
	"strings"
)

// Words is a reading in words: "pH 7.021, 25.1 °C, stable".
func Words(r Reading) string {
	var parts []string
	switch {
	case !r.Usable():
		parts = append(parts, "no number")
	case r.Quantity == Millivolt:
		parts = append(parts, fmt.Sprintf("%.*f mV", r.Decimals, r.Value))
	default:
		parts = append(parts, fmt.Sprintf("pH %.*f", r.Decimals, r.Value))
	}
	if r.HasMV {
		parts = append(parts, fmt.Sprintf("%g mV", r.MV))
	}
	switch {
	case r.HasTemp:
		parts = append(parts, fmt.Sprintf("%g °C", r.TempC))
	case r.Flags.Has(NoTemp):
		parts = append(parts, fmt.Sprintf("%g °C not used yet", r.TempC))
	}
	if r.Channel != "" {
		parts = append(parts, "channel "+r.Channel)
	}
	for _, f := range []struct {
		flag  Flags
		words string
	}{
		{Stable, "stable"}, {Unstable, "unstable"}, {OverRange, "over range"},
		{UnderRange, "under range"}, {NoProbe, "no electrode"},
		{TempByHand, "temperature set by hand"}, {BadTemp, "an impossible temperature"},
		{Unnamed, "a number without a name is ignored"},
	} {
		if r.Flags.Has(f.flag) {
			parts = append(parts, f.words)
		}
	}
	return strings.Join(parts, ", ")
}
