package grid

import (
	"regexp"
	"strings"
)

// What the name of a column says of what stands in it. Names are read as words,
// split at everything that is no letter, figure or sign of a unit: "Volume.mL",
// "time_s" and "V / mL" alike.

// Unit is a unit as it stands in names and cells.
type Unit struct {
	Quantity string  // "" for one that is none of ours: mmol, g, mS
	Factor   float64 // to s, mV, mL or °C
}

// unitNames are the units by the ways they are written. Upper and lower case
// count only where they must: V and v, M and m.
var unitNames = map[string]Unit{
	"ms": {"time", 1e-3}, "s": {"time", 1}, "sec": {"time", 1}, "secs": {"time", 1}, "second": {"time", 1}, "seconds": {"time", 1},
	"min": {"time", 60}, "mins": {"time", 60}, "minute": {"time", 60}, "minutes": {"time", 60}, "h": {"time", 3600}, "hr": {"time", 3600},
	"hrs": {"time", 3600}, "hour": {"time", 3600}, "hours": {"time", 3600}, "d": {"time", 86400}, "day": {"time", 86400}, "days": {"time", 86400},
	"mv": {"mv", 1}, "millivolt": {"mv", 1}, "millivolts": {"mv", 1}, "volt": {"mv", 1e3}, "volts": {"mv", 1e3},
	"ml": {"volume", 1}, "cm3": {"volume", 1}, "cm^3": {"volume", 1}, "cm³": {"volume", 1}, "ccm": {"volume", 1}, "cc": {"volume", 1},
	"millilitre": {"volume", 1}, "millilitres": {"volume", 1}, "milliliter": {"volume", 1}, "milliliters": {"volume", 1},
	"µl": {"volume", 1e-3}, "μl": {"volume", 1e-3}, "ul": {"volume", 1e-3}, "mm3": {"volume", 1e-3}, "mm³": {"volume", 1e-3},
	"microlitre": {"volume", 1e-3}, "microlitres": {"volume", 1e-3}, "microliter": {"volume", 1e-3}, "microliters": {"volume", 1e-3},
	"l": {"volume", 1e3}, "dm3": {"volume", 1e3}, "dm³": {"volume", 1e3}, "litre": {"volume", 1e3}, "litres": {"volume", 1e3}, "liter": {"volume", 1e3}, "liters": {"volume", 1e3},
	"drop": {"drops", 1}, "drops": {"drops", 1}, "gtt": {"drops", 1},
	"°c": {"temp", 1}, "degc": {"temp", 1}, "ºc": {"temp", 1}, "celsius": {"temp", 1}, "�c": {"temp", 1}, "°f": {"temp", 0}, "degf": {"temp", 0},
	"mol": {}, "mmol": {}, "µmol": {}, "umol": {}, "meq": {}, "eq": {}, "g": {}, "mg": {}, "kg": {}, "m": {}, "n": {}, "mm": {}, "mol/l": {}, "ms/cm": {},
	"µs/cm": {}, "us/cm": {}, "%": {}, "ma": {}, "a": {}, "ohm": {}, "nm": {}, "au": {}, "ppm": {}, "mg/l": {}, "g/l": {}, "bar": {}, "rpm": {},
}

// bracketed is a unit in brackets or after a stroke, at the end of a name.
var (
	bracketed = regexp.MustCompile(`[\[(]\s*([^\[\]()]+?)\s*[\])]\s*$`)
	stroked   = regexp.MustCompile(`[/]\s*([^/\s\[\]()]+)\s*$`)
	inWord    = regexp.MustCompile(`\bin\s+(\S+)\s*$`)
	wordSplit = regexp.MustCompile(`[^\p{L}\p{N}°ºµμ³^%�]+`)
)

// UnitIn finds the unit that a name holds.
func UnitIn(name string) (u Unit, ok bool) {
	for _, form := range []*regexp.Regexp{bracketed, stroked, inWord} {
		if m := form.FindStringSubmatchIndex(name); m != nil {
			text := name[m[2]:m[3]]
			if u, ok = UnitOf(text); ok {
				return u, true
			}
			if form == bracketed && strings.TrimSpace(name[:m[0]]) != "" {
				if u, ok := UnitIn(name[:m[0]]); ok { // "V / mL (NaOH)"
					return u, true
				}
			}
		}
	}
	words := wordSplit.Split(strings.TrimSpace(name), -1)
	for i := len(words) - 1; i >= 0; i-- { // "Volume.mL", "mL NaOH", "volume_ml"
		if u, ok = UnitOf(words[i]); ok && len([]rune(words[i])) > 1 || ok && i == len(words)-1 && i > 0 && u.Quantity != "" {
			return u, true
		}
	}
	return Unit{}, false
}

// UnitOf is a unit by itself.
func UnitOf(text string) (Unit, bool) {
	text = strings.TrimSpace(text)
	u, ok := map[string]Unit{"V": {"mv", 1e3}, "C": {"temp", 1}, "K": {"temp", -1}, "F": {"temp", 0}}[text]
	if !ok {
		u, ok = unitNames[strings.ToLower(text)]
	}
	return u, ok
}

// naming are the words by which a column says what it is, the surest first.
var naming = []struct {
	quantity string
	name     *regexp.Regexp
}{
	{"ph", regexp.MustCompile(`(?i)(^|[^\p{L}])ph($|[^\p{L}])`)},
	{"mv", regexp.MustCompile(`(?i)potential|\bemf\b|\bvoltage\b|\bmv\b|^E$|spannung`)},
	{"drops", regexp.MustCompile(`(?i)\bdrops?\b|\bgtt\b|tropfen`)},
	{"temp", regexp.MustCompile(`(?i)\btemp`)},
	{"volume", regexp.MustCompile(`(?i)\bvol(s|ume|umes|umen)?\b|^\W*v\W*$|^v[ _(,.:/]|^v[ _]?(\d{1,2}|[abt])$|^v(base|acid|tit|naoh|koh|hcl)|[ _]v$|titrant|titre|\bburett?e?\b|bürette|zugabe|verbrauch|\badded\b|\bdispensed\b|\bdelivered\b|\bconsum|\bbase\b|\bacid\b|(^|[^\p{L}])(na|k|li)oh\b|(^|[^\p{L}])hcl(o4)?\b|h2so4|hno3|\bhbr\b`)},
	{"time", regexp.MustCompile(`(?i)\btime|\bdate|elapsed|^t$|\bt[ _/([]|zeit|datum|\bhour|\bminute|\bsecond|\btemps\b|tiempo|timestamp`)},
}

// derived are names of what is computed from readings, or wanted of them: no
// reading stands there.
var derived = regexp.MustCompile(`(?i)(^|[^\p{L}])(d|δ|∆|delta|diff)\W{0,2}ph\b|dph|d2ph|/\s*d?v\b|deriv|slope|std|\bsd\b|stdev|\berror|\berr\b|uncert|±|target|set ?-?point|\bset\b|\bcalc|theor|\bmodel|\bfit(ted)?\b|smooth|predict|expected|\bgran\b|unit\b`)

// IsDerived reports whether a name is that of something computed or wanted.
func IsDerived(name string) bool { return derived.MatchString(name) }

// Says is what a name says a column is: its quantity and the factor of its unit.
// An empty quantity is a name that says it is something else; ok false is one
// that says nothing.
func Says(name string) (u Unit, ok bool) {
	name = strings.TrimSpace(name)
	if name == "" || generic.MatchString(name) {
		return Unit{}, false
	}
	if IsDerived(name) || share.MatchString(name) {
		return Unit{}, true
	}
	plain := strings.ReplaceAll(name, "_", " ")
	if naming[0].name.MatchString(plain) && !strings.Contains(strings.ToLower(plain), "mv") {
		return Unit{"ph", 1}, true
	}
	if u, found := UnitIn(name); found {
		return u, true
	}
	for _, k := range naming {
		if k.name.MatchString(plain) {
			return Unit{k.quantity, 1}, true
		}
	}
	return Unit{}, true
}

// share is a name of what is counted in parts of a hundred: of a burette, of a range.
var share = regexp.MustCompile(`(?i)%\s*[\])]?\s*$|per ?cent\s*[\])]?\s*$|prozent`)

// generic are names that say nothing of what a column holds.
var generic = regexp.MustCompile(`(?i)^(value|reading|signal|meas(ure(d|ment)?)?|y|x|data|channel \d|column \d+|ch\d+(_m\d+)?|series ?\d+)$`)
