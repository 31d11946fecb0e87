package foreign

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/meter/foreign/grid"
	"example.org/halfdrop/meter/foreign/heading"
	"example.org/halfdrop/meter/phrase"
)

// VolumeKind is what a column of volumes counts.
type VolumeKind string

// The kinds of volume; an empty one is found out.
const (
	TotalVolume VolumeKind = "total" // given until then
	EachVolume  VolumeKind = "each"  // given for this row alone
	LeftVolume  VolumeKind = "left"  // left in the burette, which falls
	RiseVolume  VolumeKind = "rise"  // total, counted from the first: a burette not set to 0, a beaker with its sample
)

// VolumeKinds are the kinds by name.
func VolumeKinds() []string {
	return []string{string(EachVolume), string(TotalVolume), string(LeftVolume), string(RiseVolume)}
}

// Figures of judgement, a choice of this project.
const (
	mostBack   = 0.1 // of all steps of a volume that may go back, by slips
	mostSame   = 0.6 // of all steps of a burette that falls do so at least; portions are the same many times
	refillDrop = 0.4 // of its largest value, below which a burette has been filled anew
	farFirst   = 2.5 // of the largest of the first steps: a first volume that was hardly given in one
	fewSteps   = 3   // that are the first
)

// kindOf finds out what a column of volumes counts; a question when it may be
// several things.
func kindOf(v []float64, name string) (VolumeKind, error) {
	seen := slices.DeleteFunc(slices.Clone(v), math.IsNaN)
	up, down := 0, 0
	for i := 1; i < len(seen); i++ {
		switch {
		case seen[i] > seen[i-1]:
			up++
		case seen[i] < seen[i-1]:
			down++
		}
	}
	steps := float64(max(len(seen)-1, 1))
	switch low, _ := grid.Span(seen); {
	case up == 1 && down == 0 && len(seen) > 2*grid.LeastRows && seen[1] > seen[0]: // 0, 10, 10, 10: asked below
	case up == 0 && float64(down) > mostSame*steps:
		return LeftVolume, nil
	case each.MatchString(name) && low >= 0 && (down > 0 || float64(up) < steps/2):
		return EachVolume, nil
	case float64(down) <= math.Max(mostBack*steps, 1) && up > 2*down, refills(seen) > 0:
		return TotalVolume, nil
	case refills(used(seen)) > 0:
		return LeftVolume, nil
	case float64(up) <= mostBack*steps && float64(down) > mostSame*steps:
		return LeftVolume, nil
	}
	kinds := VolumeKinds()[:3]
	what := fmt.Sprintf("%q neither rises nor falls throughout; is it the total given so far (total), the volume of each row (each), or what is left in the burette (left)", name)
	if up+down <= 1 {
		what = fmt.Sprintf("%q is the same in every row but perhaps the first; is it what was given in each row (each), or some other volume (--volume -)", name)
	}
	return "", &Question{Flag: "--volume-is", What: what, Choices: kinds}
}

// refills counts how often a burette was filled anew: one that only rises falls
// to a small part of its height. Other steps back make it 0.
func refills(v []float64) int {
	n, high, up := 0, 0.0, 0
	for i, x := range v {
		if i > 0 && x > v[i-1] {
			up++
		}
		if i > 0 && x < v[i-1] {
			if x > refillDrop*high || high == 0 {
				return 0
			}
			n, high = n+1, 0
		}
		high = math.Max(high, x)
	}
	if n > 3 || 2*up < len(v) {
		return 0
	}
	return n
}

// used is what has left a burette that falls, by where it stood at first.
func used(v []float64) []float64 {
	first, out := math.NaN(), make([]float64, len(v))
	for i, x := range v {
		if math.IsNaN(first) {
			first = x
		}
		out[i] = first - x
	}
	return out
}

// given turns a column of volumes into the titrant given until each row.
func (l *Log) given(v, ph []float64, name string, kind VolumeKind) error {
	if kind == "" {
		var err error
		if kind, err = kindOf(v, name); err != nil {
			return err
		}
		if kind == TotalVolume {
			if kind, err = l.begins(v, name); err != nil {
				return err
			}
		}
	}
	first, last, sum, base := math.NaN(), math.NaN(), 0.0, 0.0
	seen := slices.DeleteFunc(slices.Clone(v), math.IsNaN)
	if kind == LeftVolume && len(seen) > 0 { // from here on it rises
		first, seen = seen[0], used(seen)
		copy(v, used(v))
	}
	filled, was, level := 0, 0, 0.0
	if kind == TotalVolume || kind == LeftVolume {
		filled = refills(seen)
	}
	for i := range v {
		if math.IsNaN(v[i]) {
			continue
		}
		if math.IsNaN(first) {
			first = v[i]
			if kind == RiseVolume || kind == TotalVolume && first > 0 && heading.Burette.MatchString(name) {
				base = -first
			}
		}
		x := v[i]
		switch kind {
		case EachVolume:
			sum += x
			v[i] = sum
		default:
			if filled > 0 && x < last {
				switch base += last; {
				case was < len(ph) && i < len(ph) && math.Abs(ph[was]-ph[i]) <= samePH: // read off again, and nothing given
					base -= x
					level = x
				case x < 0:
					return fmt.Errorf("foreign: %q goes up to %s mL after a refill, above the %s mL of its first row: how far it was filled is not known (add a row with its reading after the refill and the pH before it)",
						name, phrase.Number(first-x), phrase.Number(first))
				}
			}
			was = i
			v[i] = math.Round((x+base)*1e9) / 1e9 // so that the same volume stays the same
		}
		last = x
	}
	switch {
	case kind == EachVolume:
		l.note("%q is what was given in each row; its sum is used", name)
	case kind == LeftVolume:
		l.note("%q falls: taken as what is left in the burette, %s mL at first", name, phrase.Number(first))
	case kind == RiseVolume:
		l.note("%q begins at %s mL; what was given is counted from there", name, phrase.Number(first))
	case base < 0:
		l.note("the burette began at %s mL; what was given is counted from there", phrase.Number(first))
	}
	if filled > 0 {
		if kind == LeftVolume {
			level = first - level
		}
		l.note("the burette is taken as refilled %s, to %s mL; the volume continues from there", phrase.Times(filled), phrase.Number(level))
	}
	return nil
}

// samePH is how far two readings may be apart between which nothing was given.
const samePH = 0.02

// backwards reports whether values go back more often than a clock may that was set.
func backwards(v []float64) bool {
	steps, back, last := 0, 0, math.NaN()
	for _, x := range v {
		if math.IsNaN(x) {
			continue
		}
		if steps++; x < last {
			back++
		}
		last = x
	}
	return back > 1 && float64(back) > mostBack*float64(steps)
}

// minimum reports whether a column named "… min" is the least of something, and not
// minutes: beside it stands the largest.
func (r *reader) minimum(at int) bool {
	stem, is := strings.CutSuffix(strings.ToLower(r.columns[at].Name), "min")
	return is && slices.ContainsFunc(r.columns, func(c Column) bool { return strings.EqualFold(c.Name, stem+"max") })
}

// muchML is more titrant than people give, mL.
const muchML = 300.0

// volumesIn is a line above the table that says the unit of all volumes.
var volumesIn = regexp.MustCompile(`(?i)\bvol(?:ume)?s?\b[^\d]{0,20}\bin\s+(\S+?)[.,;)]*(?:\s|$)`)

// sized finds the unit of a volume whose name has none: in the lines above, or as mL when
// it is a volume that people give; else it is a question.
func (r *reader) sized() error {
	at, ok := r.of["volume"]
	if !ok || r.o.Column["volume"] != "" {
		return nil
	}
	name := r.columns[at].Name
	if _, has := grid.UnitIn(name); has || strings.HasPrefix(name, "column ") || r.columns[at].factor != 1 {
		return nil
	}
	if _, has := r.t.CellUnit(at); has {
		return nil
	}
	for _, f := range r.t.Facts {
		if m := volumesIn.FindStringSubmatch(f); m != nil {
			if u, ok := grid.UnitOf(m[1]); ok && u.Quantity == "volume" {
				r.columns[at].factor = u.Factor
				r.notes = append(r.notes, fmt.Sprintf("%q is in %s, as a line above the table says", name, m[1]))
				return nil
			}
		}
	}
	if _, high := grid.Span(r.t.Values(at)); high > muchML {
		return &Question{Flag: "--volume", Choices: []string{name + " in µL", name + " in mL"},
			What: fmt.Sprintf("%q has no unit and goes up to %s; which unit is it in", name, phrase.Number(high))}
	}
	r.notes = append(r.notes, fmt.Sprintf("%q has no unit: taken as mL", name))
	return nil
}

// each are names of what was added for one row alone.
var each = regexp.MustCompile(`(?i)increment|\bstep|\beach\b|aliquot|portion|\bdose\b|Δ\s*v|∆\s*v|delta\s*v|\bdv\b|addition\b|per row|zugabe`)
