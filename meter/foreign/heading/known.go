// Package heading is what the lines above a log of another program say of the titration:
// acid and base, their strengths, the sample, the drop; pure.
package heading

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/foreign/grid"
	"example.org/halfdrop/meter/phrase"
)

// Known is what the lines above the table, or the name of a column, say of the
// titration.
type Known struct {
	SampleML float64  `json:"sample_ml,omitempty"`
	Molar    float64  `json:"molar,omitempty"` // mol/L of charge
	Acid     bool     `json:"acid,omitempty"`
	Base     bool     `json:"base,omitempty"`
	TempC    float64  `json:"temp_c,omitempty"`
	From     []string `json:"from,omitempty"` // the lines that say so
}

const (
	figure = `(\d+(?:[.,]\d+)?)`
	power  = `(\d+(?:[.,]\d+)?(?:[eE][-+−]?\d+)?)`
)

// How strength and sample are said in the heads of logs; BaseName and AcidName are names of
// titrants, alone or in a line.
var (
	sampleWords  = regexp.MustCompile(`(?i)sample|aliquot|analyte|initial vol|start(ing)? vol|\bv_?0\b|vorlage|probe|muestra|échantillon|campione|amostra|volume of (acid|base|solution) taken|in (the )?beaker`)
	volumeFigure = regexp.MustCompile(`(?i)` + power + `\s*(ml|cm3|cm³|cc|µl|ul|l|dm3)?\b`)
	volumeWords  = regexp.MustCompile(`(?i)vol|\bml\b|cm3|cm³|\bv_?0\b|\bcc\b|\d\s*[lµμ]l?\b`)
	strengthUnit = regexp.MustCompile(power + `(?:\s*(?:\(\d+\)|(?:±|\+/?-)\s*` + power + `))?\s*(mol\s*/\s*[lL]|mol\s*[·.]?\s*(?:dm\^?-3|dm⁻³|/\s*dm3|/\s*dm³|[lL]\^?-1|[lL]⁻¹)|mmol\s*/\s*[lL]|mM|M|N|eq/L|meq/L)(?:[^\p{L}]|$)`)
	strengthWord = regexp.MustCompile(`(?i)(normality|molarity|strength|\btit(er|re)\b|conc(entration|\.)?( of)?( the)? (titrant|base|acid|naoh|koh|hcl)|titrant conc|c\s*\(\s*(titrant|naoh|koh|hcl)\s*\))`)
	notTitrant   = regexp.MustCompile(`(?i)sample|analyte|unknown|buffer|ionic|standard|equivalen|anc\b`)
	BaseName     = regexp.MustCompile(`(?i)(^|[^\p{L}])(na|k|li)oh([^\p{L}]|$)|ba\(oh\)2|hydroxide|natronlauge`)
	AcidName     = regexp.MustCompile(`(?i)(^|[^\p{L}])(hcl|hno3|hclo4|h2so4|hbr)([^\p{L}]|$)|hydrochloric|nitric|sulfuric|sulphuric|perchloric|salzsäure`)
	twofold      = regexp.MustCompile(`(?i)h2so4|ba\(oh\)2|sulfuric|sulphuric`)
)

// The names of titrants, beside a figure that is then their strength: behind it, or before.
var (
	titrantNames  = `(?:(?:na|k|li)oh|(?:sodium|potassium|lithium|barium)\s+hydroxide|ba\(oh\)2|natronlauge|kalilauge|hcl|hno3|hclo4|h2so4|hbr|hydrochloric|nitric|sulfuric|sulphuric|perchloric|salzsäure|titrant)`
	titrantBehind = regexp.MustCompile(`(?i)^\s*(?:of\s+|solution\s+of\s+|\()?` + titrantNames + `(?:[^\p{L}]|$)`)
	titrantBefore = regexp.MustCompile(`(?i)(?:^|[^\p{L}])` + titrantNames + `[^\p{L}\d]{0,5}$`)
	clauses       = regexp.MustCompile(`[,;]\s+`)
	wordBehind    = regexp.MustCompile(`^\s*(?:of\s+)?\p{L}{3,}`)
)

// sampleBehind is a volume that stands right before the word for the sample; elseFigure is a
// figure whose unit is none of a volume, and no volume without one.
var (
	sampleBehind = regexp.MustCompile(`(?i)` + power + `\s*(ml|cm3|cm³|cc|µl|ul|l|dm3)\s*(?:of\s+)?(?:the\s+|a\s+)?$`)
	elseFigure   = regexp.MustCompile(power + `\s*(?:m?mol|m?eq|m?[MN]\b|m?g\b|°|%|min\b|h\b|s\b)[^\s;,]*`)
)

// bareStrength is a figure with no unit, which is mol/L then; titer is a factor, or what was
// delivered.
var (
	bareStrength = regexp.MustCompile(`^[^\d]*?` + power + `\s*(?:[;,|\t)]|$)`)
	titer        = regexp.MustCompile(`(?i)\btit(er|re)\b`)
)

func decimalOf(text string) float64 {
	v, _ := strconv.ParseFloat(strings.NewReplacer(",", ".", "−", "-").Replace(text), 64)
	return v
}

// From reads strength and sample out of lines of text. What two lines say in
// two ways is not taken.
func From(lines []string) (k Known, notes []string) {
	samples, strengths := map[float64]bool{}, map[float64]bool{}
	for _, line := range lines {
		for _, ml := range samplesIn(line) {
			if samples[ml] = true; len(samples) == 1 {
				k.SampleML = ml
				k.From = append(k.From, line)
			}
		}
		all := strengthsIn(line)
		for _, c := range all {
			if strengths[c] = true; len(strengths) == 1 {
				k.Molar = c
				k.From = append(k.From, line)
			}
		}
		if len(all) > 0 || regexp.MustCompile(`(?i)titrant|burett?e?`).MatchString(line) {
			k.Acid, k.Base = k.Acid || AcidName.MatchString(line), k.Base || BaseName.MatchString(line)
		}
	}
	if f, line := factorOf(lines); len(strengths) == 1 && f > 0 && nominal(k.Molar) {
		notes = append(notes, fmt.Sprintf("the strength of %s mol/L is taken times its factor, %s", phrase.Number(k.Molar), phrase.Number(f)))
		k.Molar *= f
		if !slices.Contains(k.From, line) {
			k.From = append(k.From, line)
		}
	}
	if t, line := temperatureIn(lines); t != 0 {
		k.TempC = t
		if !slices.Contains(k.From, line) {
			k.From = append(k.From, line)
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

// factor is what the nominal strength of a titrant is multiplied by, found by standardising it.
var factor = regexp.MustCompile(`(?i)(?:\bfa[ck]tor\b|\btiter\b|[,;]\s*f\b)[^\d;]{0,12}?([01][.,]\d{2,5})(?:[^\d]|$)`)

// Factors lie between these (common practice, no source).
const leastFactor, mostFactor = 0.8, 1.2

// factorOf is the one factor that lines give, and the line; 0 for none and for several.
func factorOf(lines []string) (f float64, from string) {
	for _, line := range lines {
		m := factor.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		v := decimalOf(m[1])
		if f != 0 && v != f || v < leastFactor || v > mostFactor {
			return 0, ""
		}
		f, from = v, line
	}
	return f, from
}

// nominal reports whether a strength is one that bottles are labelled with, and not one
// that was found: a single figure that is no nought.
func nominal(c float64) bool {
	return len(strings.Trim(strconv.FormatFloat(c, 'e', 10, 64)[:12], "0.")) == 1
}

// samplesIn are the volumes of the sample, mL, that a line gives: two of one that was
// diluted, of which nobody knows which was titrated.
func samplesIn(line string) (out []float64) {
	at := sampleWords.FindStringIndex(line)
	if at == nil || !volumeWords.MatchString(line) || Burette.MatchString(line) && !strings.Contains(strings.ToLower(line), "sample") {
		return nil
	}
	if m := sampleBehind.FindStringSubmatch(line[:at[0]]); m != nil { // "25 ml sample"
		if f, ok := grid.UnitOf(strings.ToLower(m[2])); ok && f.Quantity == "volume" && decimalOf(m[1]) > 0 {
			return []float64{f.Factor * decimalOf(m[1])}
		}
	}
	usual := ""
	if in := regexp.MustCompile(`(?i)[(\[/]\s*(ml|cm3|cm³|l|µl|ul)\b`).FindStringSubmatch(line); in != nil {
		usual = in[1]
	}
	all := volumeFigure.FindAllStringSubmatch(v0.ReplaceAllString(elseFigure.ReplaceAllString(line[at[0]:], " "), " "), -1)
	for _, m := range all {
		if f, ok := grid.UnitOf(strings.ToLower(m[2])); ok && f.Quantity == "volume" {
			out = append(out, f.Factor*decimalOf(m[1]))
		}
	}
	if len(out) == 0 && len(all) > 0 { // "sample volume (mL) 50": a figure with no unit of its own
		v := decimalOf(all[0][1])
		if f, ok := grid.UnitOf(strings.ToLower(usual)); ok {
			v *= f.Factor
		}
		out = append(out, v)
	}
	return slices.DeleteFunc(out, func(v float64) bool { return !(v > 0 && v < 1e5) })
}

// dropWords are how the size of a drop is said.
var dropWords = regexp.MustCompile(`(?i)(\bdrop(let)?s?\b[\s_-]*(size|vol(ume|\.)?)|(size|vol(ume|\.)?) of (a |one |each )?drops?\b|\b(one|1|a) drop\b)`)

// DropIn is the size of a drop, mL, that lines of text give, and the line; 0 where they give
// none, or several.
func DropIn(lines []string) (ml float64, from string) {
	for _, line := range lines {
		at := dropWords.FindStringIndex(line)
		if at == nil {
			continue
		}
		m := volumeFigure.FindStringSubmatch(line[at[1]:])
		if m == nil {
			continue
		}
		f, ok := grid.UnitOf(strings.ToLower(m[2]))
		if v := f.Factor * decimalOf(m[1]); ok && f.Quantity == "volume" && v > 0 && v < 1 {
			if ml != 0 && ml != v {
				return 0, ""
			}
			ml, from = v, line
		}
	}
	return ml, from
}

var v0 = regexp.MustCompile(`(?i)\bv_?0\b|cm3|h2so4|dm3`)

// strengthsIn are the strengths of the titrant, mol/L of charge, that a line gives: one,
// or all of several where it does not say which is that of the titrant.
func strengthsIn(line string) []float64 {
	if word := notTitrant.FindString(line); word != "" && !strings.Contains(strings.ToLower(line), "titrant") {
		if said := clauses.Split(line, -1); strings.EqualFold(word, "sample") && len(said) > 1 { // "25 ml sample, NaOH 0.1 mol/l"
			var out []float64
			for _, part := range said {
				out = append(out, strengthsIn(part)...)
			}
			return out
		}
		return nil
	}
	named := strengthWord.MatchString(line) || BaseName.MatchString(line) || AcidName.MatchString(line) || strings.Contains(strings.ToLower(line), "titrant")
	if !named {
		return nil
	}
	var near, other []float64
	matches := strengthUnit.FindAllStringSubmatchIndex(line, -1)
	for _, m := range matches {
		unit := strings.ReplaceAll(line[m[6]:m[7]], " ", "")
		c := charged(line, decimalOf(line[m[2]:m[3]]), unit)
		switch {
		case titrantBehind.MatchString(line[m[7]:]), titrantBefore.MatchString(line[:m[2]]):
			near = append(near, c)
		case wordBehind.MatchString(line[m[7]:]) && !strengthWord.MatchString(line): // "0.1 M acetic acid with NaOH"
		default:
			other = append(other, c)
		}
	}
	if len(near) == 0 {
		near = other
	}
	if len(matches) == 0 {
		if at := strengthWord.FindStringIndex(line); at != nil {
			if m := bareStrength.FindStringSubmatch(twofold.ReplaceAllString(line[at[1]:], " ")); m != nil && !titer.MatchString(line) {
				unit := ""
				if strings.Contains(strings.ToLower(line), "normality") {
					unit = "N"
				}
				near = []float64{charged(line, decimalOf(m[1]), unit)}
			}
		}
	}
	return slices.DeleteFunc(near, func(c float64) bool { return !(c > 0 && c < 20) })
}

// charged is a strength as mol/L of charge.
func charged(line string, c float64, unit string) float64 {
	switch {
	case strings.HasPrefix(unit, "mmol"), unit == "mM", unit == "meq/L":
		c /= 1e3
	}
	if twofold.MatchString(line) && unit != "N" && !strings.HasSuffix(unit, "eq/L") {
		c *= 2
	}
	return c
}

// Words are what is known of the titration.
func (k Known) Words() string {
	var parts []string
	if k.SampleML > 0 {
		parts = append(parts, fmt.Sprintf("a sample of %s mL", phrase.Number(k.SampleML)))
	}
	if k.Molar > 0 {
		parts = append(parts, fmt.Sprintf("a titrant of %s mol/L", phrase.Number(k.Molar)))
	}
	if k.TempC > 0 {
		parts = append(parts, phrase.Number(k.TempC)+" °C")
	}
	return strings.Join(parts, ", ")
}

// Flags are those that say otherwise.
func (k Known) Flags() string {
	if k.TempC > 0 {
		return "--sample-ml, --molar and --temp-c"
	}
	return "--sample-ml and --molar"
}

// Burette are names of what is read off a burette, which need not begin at nothing.
var Burette = regexp.MustCompile(`(?i)\bburett?e?\b|bürette|\breading\b|\bread\b|remaining|\bleft\b|\brest\b|\blevel\b|stand`)
