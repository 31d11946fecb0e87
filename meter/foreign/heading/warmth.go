package heading

import (
	"math"
	"regexp"
)

// How the temperature of the sample is said in the heads of logs; what was calibrated, dried
// or stored at another is not it.
var (
	warm      = regexp.MustCompile(`(?i)(?:^|[^\d.,\-−])` + power + `\s*(?:°|º|deg\.?|grad)\s*(c)\b`)
	warmth    = regexp.MustCompile(`(?i)(?:\btemp(?:eratur\w*|\.|\b)|\btempérature)[^\d\-−]{0,25}` + power + `\s*(°?\s*[fk]\b)?`)
	elsewhere = regexp.MustCompile(`(?i)calib|standard|buffer|dried|drying|stor(ed|age)|reference|ref\.|oven|slope|kalib|puffer`)
)

// Temperatures that a beaker has, and two of one titration that are the same (choices).
const (
	coldest, hottest = 1.0, 60.0
	sameTemp         = 3.0
)

// temperatureIn is the temperature, °C, that lines of text give the sample, and the line; 0
// where they give none, or several that are too far apart for one.
func temperatureIn(lines []string) (t float64, from string) {
	for _, line := range lines {
		if elsewhere.MatchString(line) {
			continue
		}
		m := warm.FindStringSubmatch(line)
		if m == nil {
			if m = warmth.FindStringSubmatch(line); m == nil || m[2] != "" {
				continue
			}
		}
		v := decimalOf(m[1])
		switch {
		case v < coldest || v > hottest:
		case t != 0 && math.Abs(v-t) > sameTemp:
			return 0, ""
		case t == 0:
			t, from = v, line
		}
	}
	return t, from
}
