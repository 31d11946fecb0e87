package replay

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// VolumeKind is what a column of volumes counts.
type VolumeKind string

// The kinds of volume; an empty one is found out.
const (
	TotalVolume VolumeKind = "total" // given until then
	EachVolume  VolumeKind = "each"  // given for this row alone
	LeftVolume  VolumeKind = "left"  // left in the burette, which falls
)

// VolumeKinds are the kinds by name.
func VolumeKinds() []string {
	return []string{string(EachVolume), string(TotalVolume), string(LeftVolume)}
}

// Figures of judgement, a choice of this project.
const (
	mostBack   = 0.1 // of all steps of a volume that may go back, by slips
	mostSame   = 0.6 // of all steps of a burette that falls do so at least; portions are the same many times
	refillDrop = 0.4 // of its largest value, below which a burette has been filled anew
)

// kindOf finds out what a column of volumes counts; a question when it may be
// several things.
func kindOf(v []float64, name string) (VolumeKind, error) {
	var seen []float64
	for _, x := range v {
		if !math.IsNaN(x) {
			seen = append(seen, x)
		}
	}
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
	switch low, _ := span2(seen); {
	case up == 0 && float64(down) > mostSame*steps:
		return LeftVolume, nil
	case each.MatchString(name) && low >= 0 && (down > 0 || float64(up) < steps/2):
		return EachVolume, nil
	case float64(down) <= math.Max(mostBack*steps, 1) && up > 2*down, refills(seen) > 0:
		return TotalVolume, nil
	case float64(up) <= mostBack*steps && float64(down) > mostSame*steps:
		return LeftVolume, nil
	}
	what := fmt.Sprintf("%q neither rises nor falls throughout; is it the total given so far (total), the volume of each row (each), or what is left in the burette (left)", name)
	if up+down == 0 {
		what = fmt.Sprintf("%q is the same in every row; is it what was given in each row (each), or some other volume (--volume -)", name)
	}
	return "", &Question{Quantity: "volume", Flag: "--volume-is", What: what, Choices: VolumeKinds()}
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

// given turns a column of volumes into the titrant given until each row.
func (l *Log) given(v []float64, name string, kind VolumeKind) error {
	if kind == "" {
		var err error
		if kind, err = kindOf(v, name); err != nil {
			return err
		}
	}
	first, last, sum, base := math.NaN(), math.NaN(), 0.0, 0.0
	var seen []float64
	for _, x := range v {
		if !math.IsNaN(x) {
			seen = append(seen, x)
		}
	}
	filled := 0
	if kind == TotalVolume {
		filled = refills(seen)
	}
	for i := range v {
		if math.IsNaN(v[i]) {
			continue
		}
		if math.IsNaN(first) {
			first = v[i]
			if kind == TotalVolume && first > 0 && burette.MatchString(name) {
				base = -first
			}
		}
		x := v[i]
		switch kind {
		case EachVolume:
			sum += x
			v[i] = sum
		case LeftVolume:
			v[i] = first - x
		default:
			if filled > 0 && x < last {
				base += last
			}
			v[i] = x + base
		}
		last = x
	}
	switch {
	case kind == EachVolume:
		l.note("%q is what was given in each row; its sum is used", name)
	case kind == LeftVolume:
		l.note("%q falls: taken as what is left in the burette, %s mL at first", name, number(first))
	case base < 0:
		l.note("the burette began at %s mL; what was given is counted from there", number(first))
	}
	if filled > 0 {
		l.note("the burette was refilled %s, taken as to 0; the volume continues from there", times(filled))
	}
	return nil
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// Known is what the lines above the table, or the name of a column, say of the
// titration.
type Known struct {
	SampleML float64  `json:"sample_ml,omitempty"`
	Molar    float64  `json:"molar,omitempty"` // mol/L of charge
	Titrant  string   `json:"titrant,omitempty"`
	Acid     bool     `json:"acid,omitempty"`
	Base     bool     `json:"base,omitempty"`
	From     []string `json:"from,omitempty"` // the lines that say so
}

const figure = `(\d+(?:[.,]\d+)?)`

// How strength and sample are said in the heads of logs.
var (
	sampleWords  = regexp.MustCompile(`(?i)sample|aliquot|analyte|initial vol|start(ing)? vol|\bv_?0\b|vorlage|probe|volume of (acid|base|solution) taken|beaker`)
	volumeFigure = regexp.MustCompile(`(?i)` + figure + `\s*(ml|cm3|cm³|cc|µl|ul|l|dm3)?\b`)
	volumeWords  = regexp.MustCompile(`(?i)vol|\bml\b|cm3|cm³|\bv_?0\b|\bcc\b|\d\s*[lµμ]l?\b`)
	strengthUnit = regexp.MustCompile(figure + `\s*(mol\s*/\s*[lL]|mol\s*(?:dm-3|dm⁻³|/\s*dm3|/\s*dm³|L-1|l-1)|mmol\s*/\s*[lL]|mM|M|N|eq/L|meq/L)(?:[^\p{L}]|$)`)
	strengthWord = regexp.MustCompile(`(?i)(normality|molarity|strength|\btit(er|re)\b|conc(entration|\.)?( of)?( the)? (titrant|base|acid|naoh|koh|hcl)|titrant conc|c\s*\(\s*(titrant|naoh|koh|hcl)\s*\))`)
	anyFigure    = regexp.MustCompile(figure)
	notTitrant   = regexp.MustCompile(`(?i)sample|analyte|unknown|buffer|ionic|standard|equivalen|anc\b`)
	baseName     = regexp.MustCompile(`(?i)(^|[^\p{L}])(na|k|li)oh([^\p{L}]|$)|ba\(oh\)2|hydroxide|natronlauge`)
	acidName     = regexp.MustCompile(`(?i)(^|[^\p{L}])(hcl|hno3|hclo4|h2so4|hbr)([^\p{L}]|$)|hydrochloric|nitric|sulfuric|sulphuric|perchloric|salzsäure`)
	twofold      = regexp.MustCompile(`(?i)h2so4|ba\(oh\)2|sulfuric|sulphuric`)
)

func decimalOf(text string) float64 {
	v, _ := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	return v
}

// knownFrom reads strength and sample out of lines of text. What two lines say in
// two ways is not taken.
func knownFrom(lines []string) (k Known, notes []string) {
	samples, strengths := map[float64]bool{}, map[float64]bool{}
	for _, line := range lines {
		if ml, ok := sampleIn(line); ok {
			if samples[ml] = true; len(samples) == 1 {
				k.SampleML = ml
				k.From = append(k.From, line)
			}
		}
		c, ok := strengthIn(line)
		if ok {
			if strengths[c] = true; len(strengths) == 1 {
				k.Molar = c
				k.From = append(k.From, line)
			}
		}
		if ok || regexp.MustCompile(`(?i)titrant|burett?e?`).MatchString(line) {
			k.Acid, k.Base = k.Acid || acidName.MatchString(line), k.Base || baseName.MatchString(line)
		}
	}
	if len(samples) > 1 {
		k.SampleML = 0
		notes = append(notes, "the lines above the table give several sample volumes: none is used (--sample-ml says which)")
	}
	if len(strengths) > 1 {
		k.Molar = 0
		notes = append(notes, "the lines above the table give several strengths: none is used (--molar says which)")
	}
	if k.Acid && k.Base {
		k.Acid, k.Base = false, false
	}
	return k, notes
}

// sampleIn is the volume of the sample, mL, that a line gives.
func sampleIn(line string) (float64, bool) {
	at := sampleWords.FindStringIndex(line)
	if at == nil || !volumeWords.MatchString(line) {
		return 0, false
	}
	m := volumeFigure.FindStringSubmatch(v0.ReplaceAllString(line[at[0]:], " "))
	if m == nil {
		return 0, false
	}
	v, u := decimalOf(m[1]), strings.ToLower(m[2])
	if u == "" {
		if in := regexp.MustCompile(`(?i)[(\[/]\s*(ml|cm3|cm³|l|µl|ul)\b`).FindStringSubmatch(line); in != nil {
			u = strings.ToLower(in[1])
		}
	}
	if f, ok := unitNames[u]; ok && f.quantity == "volume" {
		v *= f.factor
	}
	return v, v > 0 && v < 1e5
}

var v0 = regexp.MustCompile(`(?i)\bv_?0\b|cm3|h2so4|dm3`)

// strengthIn is the strength of the titrant, mol/L of charge, that a line gives.
func strengthIn(line string) (float64, bool) {
	if notTitrant.MatchString(line) && !strings.Contains(strings.ToLower(line), "titrant") {
		return 0, false
	}
	named := strengthWord.MatchString(line) || baseName.MatchString(line) || acidName.MatchString(line) || strings.Contains(strings.ToLower(line), "titrant")
	if !named {
		return 0, false
	}
	c, u := 0.0, ""
	if m := strengthUnit.FindStringSubmatch(line); m != nil {
		c, u = decimalOf(m[1]), strings.ReplaceAll(m[2], " ", "")
	} else if at := strengthWord.FindStringIndex(line); at != nil {
		if m := anyFigure.FindStringSubmatch(twofold.ReplaceAllString(line[at[1]:], " ")); m != nil {
			c = decimalOf(m[1])
		}
		if strings.Contains(strings.ToLower(line), "normality") {
			u = "N"
		}
	}
	switch {
	case strings.HasPrefix(u, "mmol"), u == "mM", u == "meq/L":
		c /= 1e3
	}
	if twofold.MatchString(line) && u != "N" && !strings.HasSuffix(u, "eq/L") {
		c *= 2
	}
	return c, c > 0 && c < 20
}

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
