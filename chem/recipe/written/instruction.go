package written

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/table"
)

var (
	phWords       = regexp.MustCompile(`(?i)(?:\b(?:(?:adjusted|brought|titrated|set|ad)\s+(?:to\s+)?|(?:to|at)\s+))?\(?\bpH\s*(?:=|:|of|to|is|was)?\s*([0-9]+(?:[.,][0-9]+)?)\)?`)
	tempWords     = regexp.MustCompile(`(?i)[,(]?\s*(?:at|@)?\s*([0-9]+(?:[.,][0-9]+)?)\s*°\s*C\)?`)
	withWords     = regexp.MustCompile(`(?i)\b(?:with|using|w/)\s+(?:(?:[0-9.,]+\s*[MN]|[0-9.,]+\s*%|glacial|conc(?:entrated|\.)?|dilute|solid)\s+)*(acide\s+\pL+|\pL[\pL0-9]*(?:\s+(?:acid|hydroxide|base))?)`)
	adjusting     = regexp.MustCompile(`(?i)\b(?:adjust(?:ed)?|ad|bring|brought|titrat(?:e|ed)|set|final|the|solution|to|until|dropwise)\b`)
	waterWords    = regexp.MustCompile(`(?i)^(?:then\s+|add\s+|and\s+|with\s+|fill\s+)*(?:dd\s*|di\s*|d|mq\s*|ultrapure\s+|distilled\s+|deionis?z?ed\s+|pure\s+)*(?:H2O|water)?\s*(?:(?:up\s+|make\s+up\s+|made\s+up\s+|q\.?s\.?\s+|ad\s+)*(?:to|in|ad|for|per)?\s*([0-9]+(?:[.,][0-9]+)?|an?|one)?\s*(mL|ml|L|l|litres?|liters?))?\s*(?:final\s+volume\s*)?(?:with\s+(?:dd|di|d|mq)?(?:H2O|water))?\.?$`)
	inWords       = regexp.MustCompile(`(?i)(?:^|\s+)(?:and\s+)?(?:dissolved?\s+)?(?:in|per|/)\s+([0-9]+(?:[.,][0-9]+)?|an?|one)?\s*(mL|ml|L|l|litres?|liters?)\b(?:\s+of)?(?:\s+(?:dd|di|d|mq)?(?:H2O|water))?\.?$`)
	timesWords    = regexp.MustCompile(`^[0-9]+(?:[.,][0-9]+)?\s*[xX×]\s*`)
	rangeOfAmount = regexp.MustCompile(`\b([0-9]+(?:\.[0-9]+)?)\s*[-–]\s*([0-9]+(?:\.[0-9]+)?\s*(?:[mµu]?M|%|m?g|[mµ]?[lL])\b)`)
	bareVolume    = regexp.MustCompile(`(?i)\b(?:to|ad|auf)\s+([0-9]+(?:[.,][0-9]+)?)\s*$`)
	makeUp        = regexp.MustCompile(`(?i)\b(?:make|made|fill|top|topped|bring|brought|filled|diluted?|dil\.?|q\.?s\.?)(?:\b|\s)(.*)\bto\s+([0-9]+(?:[.,][0-9]+)?)\s*(mL|ml|L|l|litres?|liters?)\b`)
)

// instruction reads what is no reagent: a pH to bring it to, a volume to make
// it up to, water.
func (r *Reading) instruction(p string) bool {
	if m := makeUp.FindStringSubmatch(p); m != nil && !phWords.MatchString(p) {
		r.volume(m[2], m[3])
		return true
	}
	if m := waterWords.FindStringSubmatch(p); m != nil {
		r.volume(m[1], m[2])
		return true
	}
	m := phWords.FindStringSubmatch(p)
	if m == nil {
		return false
	}
	rest := phWords.ReplaceAllString(p, " ")
	with := withWords.FindStringSubmatch(rest)
	temp := tempWords.FindStringSubmatch(rest)
	rest = withWords.ReplaceAllString(tempWords.ReplaceAllString(rest, " "), " ")
	rest = strings.Trim(adjusting.ReplaceAllString(rest, " "), " .()")
	if rest != "" {
		// "10 N NaOH to pH 7.4" names the titrant alone; anything else is a reagent,
		// and so is "2 mM EGTA pH 7.4".
		name, amounts, err := quantity.In(rest)
		if bare := strings.TrimSpace(concentratedWords.ReplaceAllString(name, " ")); strongest(bare) {
			name = bare
		}
		_, strength := amounts[quantity.OfStrength]
		told := adjusting.MatchString(p) || toWords.MatchString(p)
		if err != nil || len(amounts) > 1 || len(amounts) == 1 && !(strength && told) || !told && !strongest(name) || len(amounts) == 1 && !strongest(name) || !isReagent(name) {
			return false
		}
		with = []string{"", name}
	}
	r.says(quantity.Number(m[1]))
	if temp != nil {
		r.Temp = quantity.Number(temp[1])
	}
	if with != nil {
		r.Titrant = with[1]
	}
	return true
}

// madeUp sets apart what is made up and to what: "9 mL 5 M NaCl diluted to 100 mL", "bring 9 mL 5 M
// NaCl to 100 mL". What stands beside water alone is how it is dissolved, and counts for nothing.
func madeUp(p string) []string {
	m := makeUp.FindStringSubmatchIndex(p)
	if m == nil || phWords.MatchString(p) {
		return []string{p}
	}
	before := strings.TrimSpace(linking.ReplaceAllString(p[:m[0]], ""))
	if reagentWithAmount(before) || hasAmount(before) && !inWater.MatchString(before) {
		return []string{before, p[m[0]:]}
	}
	if inside := strings.TrimSpace(p[m[2]:m[3]]); reagentWithAmount(inside) {
		return []string{inside, "to " + p[m[4]:m[7]]}
	}
	return []string{p}
}

var (
	linking = regexp.MustCompile(`(?i)(?:[\s,]+(?:and|then|is|are|was|were))+\s*$`)
	inWater = regexp.MustCompile(`(?i)\b(?:water|dissolv\pL*|H2O|[dm][dqi]?H2O)\b`)
)

// bottleFrom is the strength in mol/L from which a strong acid or base beside a pH is the bottle
// that brings it there: that much of it in the whole has no pH of a buffer.
const bottleFrom = 1.0

// bottle reads "6 N HCl" in a recipe that says a pH, and "HCl" alone.
func (r *Reading) bottle(p string) bool {
	name, got, err := quantity.In(p)
	if err == nil && len(got) == 0 && r.PH > 1 && r.PH < 13 && strongest(name) && (r.Titrant == "" || r.Titrant == name) {
		r.Titrant = name
		return true
	}
	strength, ok := got[quantity.OfStrength]
	if err != nil || !ok || len(got) != 1 || strength < bottleFrom || !(r.PH > 1 && r.PH < 13) || r.Titrant != "" {
		return false
	}
	x, err := table.ByAmount(name)
	if err != nil || x.Form != "solution" && !x.Alkaline() || !strongest(name) || len(x.Parts) != 1 || x.Parts[0].System != nil {
		return false
	}
	r.Titrant = name
	r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as the bottle that brings it to its pH", p))
	return true
}

// says notes the pH that the whole is to have.
func (r *Reading) says(ph float64) {
	switch {
	case math.IsNaN(r.PH):
		r.PH = ph
	case math.Abs(r.PH-ph) > 1e-6:
		r.others = append(r.others, ph)
	}
}

// toWords say that something is brought to a pH.
var toWords = regexp.MustCompile(`(?i)\b(?:to|ad|until)\s+pH\b`)

// strongest reports whether a name is that of an acid or base without a pK of
// its own, or of one that comes as a liquid.
func strongest(name string) bool {
	x, err := table.ByAmount(name)
	if err != nil || len(x.Parts) != 1 {
		return false
	}
	p := x.Parts[0]
	if p.System == nil {
		return true
	}
	weak := p.System.Charge <= 0 && len(p.System.Steps) > 0 && p.System.Steps[0].PK > 8 // a thiol brings nothing to a pH
	return table.KindOf(p.System.Name) != table.Neutral && (x.Form == "solution" || x.Form == "liquid") && !weak
}

func (r *Reading) volume(n, unit string) {
	if unit == "" {
		return
	}
	v := 1.0
	if n != "" && !strings.ContainsAny(n, "aoAO") {
		v = quantity.Number(n)
	}
	if strings.HasPrefix(strings.ToLower(unit), "m") {
		v /= 1e3
	}
	r.Volume = chem.Volume(v)
}

// pHBeside takes the pH that stands beside a part, before the parts are read: what
// "Tris-HCl" is hangs on it, and it may stand at the end.
//
// That of EDTA counts only where no other part has one: it is as a rule that of its stock.
func (r *Reading) pHBeside(parts []string, final chem.Volume) {
	ofChelator := math.NaN()
	for _, p := range parts {
		p, err := quantity.OfColumns(p, final, r.Volume > 0)
		if err != nil {
			continue // part says so
		}
		m := phWords.FindStringSubmatch(p)
		body := tempWords.ReplaceAllString(phWords.ReplaceAllString(p, " "), " ")
		switch {
		case m == nil || !math.IsNaN(r.PH) || isStock(body):
		case ofOneChelator(body):
			ofChelator = quantity.Number(m[1])
		default:
			r.PH = quantity.Number(m[1])
		}
	}
	if math.IsNaN(r.PH) {
		r.PH = ofChelator
	}
}

// ofOneChelator reports whether a part is EDTA by its strength.
func ofOneChelator(body string) bool {
	name, got, err := quantity.In(body)
	_, strength := got[quantity.OfStrength]
	return err == nil && strength && len(got) == 1 && chelator(strings.Trim(name, " ()"))
}
