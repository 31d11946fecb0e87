package written

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/table"
)

// listIn says of what unit the bare figures of a list are: "in mM: 130 KCl", and with a
// heading "External solution (mM): NaCl 140".
var (
	listIn       = regexp.MustCompile(`(?i)\(?\s*\b(?:all\s+|given\s+|concentrations?\s+)*in\s+(mM|mmol/L|µM)\b\s*\)?\s*:?`)
	listInHeaded = regexp.MustCompile(`(?i)\A([^:;,\n]*\pL[^:;,\n]*?)\s*\(?\s*\bin\s+(mM|mmol/L|µM)\b\s*\)?\s*:`)
	listWords    = regexp.MustCompile(`(?i)\A\s*(?:(?:all|given|concentrations?)\s*)*\z`)
)

var (
	figureFirst = regexp.MustCompile(`^([0-9]+(?:[.,][0-9]+)?)\s+(\S.*)$`)
	figureLast  = regexp.MustCompile(`^(\S.*?)\s+([0-9]+(?:[.,][0-9]+)?)$`)
)

// withUnit is a part of such a list with its unit.
func withUnit(p, unit string) string {
	if _, got, err := quantity.In(p); unit == "" || err != nil || len(got) > 0 || phWords.MatchString(p) {
		return p
	}
	if m := figureFirst.FindStringSubmatch(p); m != nil {
		return fmt.Sprintf("%s %s %s", m[2], m[1], unit)
	}
	if m := figureLast.FindStringSubmatch(p); m != nil {
		return fmt.Sprintf("%s %s %s", m[1], m[2], unit)
	}
	return p
}

// ofOneUnit gives the bare figures of a list the unit of strength that the others have:
// "NaCl 118, KCl 4.7, glucose 11 mM". Where they have several, or hardly any is bare,
// it is left as it is.
func (r *Reading) ofOneUnit(parts []string, unit string) []string {
	bare, one := 0, ""
	for _, p := range parts {
		if bareFigure(p) {
			bare++
		} else if m := lastUnit.FindStringSubmatch(withoutPH(p)); m != nil {
			if one != "" && one != m[1] {
				return parts
			}
			one = m[1]
		}
	}
	if unit != "" || one == "" || bare < leastBare {
		return parts
	}
	out := make([]string, len(parts))
	for i, p := range parts {
		if out[i] = p; bareFigure(p) {
			out[i] = p + " " + one
		}
	}
	r.Notes = append(r.Notes, fmt.Sprintf("figures without a unit are taken in %s, as the others are", one))
	return out
}

// withoutPH is a part without the pH behind it, and what brings it there: "HEPES 10 mM (pH 7.2 with KOH)".
func withoutPH(p string) string {
	if !phWords.MatchString(p) {
		return p
	}
	return strings.TrimRight(withWords.ReplaceAllString(phWords.ReplaceAllString(p, " "), " "), " ()")
}

// bareFigure reports whether a part is a name with a figure that has no unit.
func bareFigure(p string) bool {
	m := figureLast.FindStringSubmatch(p)
	return m != nil && isReagent(m[1]) && !hasAmount(p)
}

// figureThenName reports whether a part is a figure without a unit with a name behind it.
func figureThenName(p string) bool {
	m := figureFirst.FindStringSubmatch(p)
	return m != nil && isReagent(m[2]) && !hasAmount(p)
}

// leastBare is how many bare figures make a list of one unit; one may be a slip.
const leastBare = 2

// lastUnit is a name with a figure in a unit of strength.
var lastUnit = regexp.MustCompile(`^[A-Za-z].*\s[0-9]+(?:[.,][0-9]+)?\s*(mM|mmol/L|µM|M)$`)

// isApart reports whether a name is one that may be left out of account.
func isApart(name string) bool {
	_, ok := table.Apart(name)
	return ok
}

// uncounted are things that no table has, and of which a tablet or a dash goes
// into a buffer, or what is counted in units.
var uncounted = regexp.MustCompile(`(?i)\b(?:tablets?|(?:prote(?:in)?ase|phosphatase)\s+inhibitors?|inhibitor\s+(?:cocktail|mix)|cocktail|PIC)\b|\b[0-9.,]+\s*(?:k?U|units?|IU)\s*/\s*m[lL]\b`)

// traceOf is what goes in without an amount: "trace bromophenol blue".
var traceOf = regexp.MustCompile(`(?i)^(?:a\s+)?(?:traces?|dash|pinch|few\s+(?:grains|crystals|drops\s+of\s+dye))\b`)

// besideDigest is how much buffer there must be beside 10 g/L of a digest before what the
// digest does is small: it takes up about 5 mM of acid or base per pH (from memory), which
// is a quarter of 33 mM of a buffer near its pK. Our own choice.
const besideDigest = 30.0

// settleDigest is the question that a medium asks whose pH is that of a digest.
func (r *Reading) settleDigest(final chem.Volume) error {
	if r.digest == "" {
		return nil
	}
	for i := range r.Parts {
		x := &r.Parts[i]
		near := r.distance(x) <= reach || math.IsNaN(r.PH) && table.KindOf(bufferOf(x.Reagent)) == table.Buffer
		if near && x.Amount.Millimoles()/final.Litres() >= besideDigest {
			return nil
		}
	}
	return &recipe.FieldError{What: fmt.Sprintf("%q buffers by itself, each lot in its own way: what pH it gives and what brings it there cannot be computed", r.digest),
		Hint: "bring a medium to its pH by hand, with the meter; what else is in it can be examined without it"}
}

// bufferOf is the name of the system of a reagent, "" where it has none.
func bufferOf(x table.Reagent) string {
	if s, _, ok := x.Supplies(); ok {
		return s.Name
	}
	return ""
}

// trailing is a figure after a name, as a pH without the word.
var trailing = regexp.MustCompile(`^(.*[A-Za-z)])\s+\(?([0-9]{1,2}[.,][0-9]{1,2})\)?$`)

// barePH gives the figure after the name of a buffer its word: "50 mM NaPi 7.4".
func (r *Reading) barePH(p string) string {
	m := trailing.FindStringSubmatch(p)
	if m == nil {
		return p
	}
	name, got, err := quantity.In(m[1])
	if _, _, ok := table.Brought(name); err != nil || len(got) != 1 || !ok && !buffersAt(name, quantity.Number(m[2])) {
		return p
	}
	r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as pH %s", p, m[2]))
	return m[1] + " pH " + m[2]
}

// buffersAt reports whether a name is that of a buffer with a pK within 1.5 of a pH.
func buffersAt(name string, ph float64) bool {
	x, err := table.ByAmount(name)
	if err != nil {
		return false
	}
	s, _, ok := x.Supplies()
	return ok && table.KindOf(s.Name) == table.Buffer && slices.ContainsFunc(s.Steps, func(st chem.Step) bool { return math.Abs(st.PK-ph) < 1.5 })
}

// onlyPH is a pH and nothing else, as between commas.
var onlyPH = regexp.MustCompile(`(?i)^\(?pH\s*[=:]?\s*[0-9]+(?:[.,][0-9]+)?\)?$`)

// ofStocks gives a bare pH that follows a stock, and is followed by more, to the
// stock: "10 mL of 1 M Tris, pH 8.0, 2 mL of 0.5 M EDTA".
func ofStocks(parts []string) []string {
	var out []string
	for i, p := range parts {
		if len(out) > 0 && onlyPH.MatchString(p) && isStock(out[len(out)-1]) && !phWords.MatchString(out[len(out)-1]) && i+1 < len(parts) && isStock(parts[i+1]) {
			out[len(out)-1] += " " + p
			continue
		}
		out = append(out, p)
	}
	return out
}

// A stock of EDTA of 0.5 mol/L is one of pH 8 whether its bottle says so or not:
// by itself the disodium salt dissolves to about 0.3 mol/L (from memory).
const (
	chelatorStock = 0.4
	chelatorPH    = 8.0
)

// chelator reports whether a name is that of EDTA or of its disodium salt.
func chelator(name string) bool {
	x, err := table.ByAmount(name)
	return err == nil && x.Name == "EDTA disodium salt"
}

var (
	plainWater = regexp.MustCompile(`(?i)^(?:(?:dd|di|d|mq|ultrapure\s+|distilled\s+|deionis?z?ed\s+|pure\s+)*(?:H2O|water)\s*:?\s*\(?\s*([0-9]+(?:[.,][0-9]+)?)\s*(mL|L|g|kg)\s*\)?|([0-9]+(?:[.,][0-9]+)?)\s*(mL|L)\s*(?:of\s+)?(?:dd|di|d|mq|ultrapure\s+|distilled\s+|deionis?z?ed\s+|pure\s+)*(?:H2O|water))\.?$`)
	wordsOfAim = regexp.MustCompile(`(?i)\bto\b|\bad\b|\bup\b|\bfinal\b|\bin\b|\bq\.?s`)
)

// pourWater reads "water 72 mL", of which it is not said whether that much is
// poured or it is made up to that much.
func (r *Reading) pourWater(p string) bool {
	m := plainWater.FindStringSubmatch(p)
	if m == nil || wordsOfAim.MatchString(p) {
		return false
	}
	n, unit := m[1]+m[3], strings.ToLower(m[2]+m[4])
	v := quantity.Number(n)
	if unit == "ml" || unit == "g" { // as good as the same volume
		v /= 1e3
	}
	r.water += chem.Volume(v)
	return true
}

// Water is what a text says that is a volume or a mass of water and nothing else; mL and g are as
// good as one another.
func Water(text string) (v chem.Volume, byMass, ok bool) {
	m := plainWater.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, false, false
	}
	unit := strings.ToLower(m[2] + m[4])
	l := quantity.Number(m[1] + m[3])
	if unit == "ml" || unit == "g" {
		l /= 1e3
	}
	return chem.Volume(l), strings.HasSuffix(unit, "g"), true
}

// settleWater decides what the water is by which of the two is the round number:
// 28 mL of stocks with 72 mL of water are 100 mL, and with 100 mL of water they
// are made up to that. The error is a question.
func (r *Reading) settleWater(parts []string) error {
	if r.water == 0 && r.Volume == 0 {
		return nil
	}
	poured := float64(r.beside)
	for _, p := range parts {
		if _, got, err := quantity.In(phWords.ReplaceAllString(p, " ")); err == nil {
			poured += got[quantity.OfVolume]
		}
	}
	if r.Volume > 0 {
		if all := r.Volume + chem.Volume(poured); poured > 0 && figures(all) < figures(r.Volume) {
			r.Notes = append(r.Notes, fmt.Sprintf("it is taken as made up to %s mL; if that much water is poured beside the rest, %s mL in all, write \"water %s mL\"", chem.Digits(r.Volume.Millilitres(), 4), chem.Digits(all.Millilitres(), 4), chem.Digits(r.Volume.Millilitres(), 4)))
		}
		return nil
	}
	total := r.water + chem.Volume(poured)
	a, b := figures(total), figures(r.water)
	switch {
	case poured == 0, b < a && float64(r.water) > poured:
		r.Volume = r.water
		if poured > 0 {
			r.Notes = append(r.Notes, fmt.Sprintf("it is taken as made up to %s mL with water", chem.Digits(r.water.Millilitres(), 4)))
		}
	case a < b || float64(r.water) <= poured:
		r.Volume = total
		r.Notes = append(r.Notes, fmt.Sprintf("%s mL is taken as the water that is poured: %s mL with what else is poured", chem.Digits(r.water.Millilitres(), 4), chem.Digits(total.Millilitres(), 4)))
	default:
		return &recipe.FieldError{What: fmt.Sprintf("%s mL of water with %s mL of the others, or made up to %s mL?", chem.Digits(r.water.Millilitres(), 4), chem.Digits(1e3*poured, 4), chem.Digits(r.water.Millilitres(), 4)),
			Hint: fmt.Sprintf("write \"water to %s mL\" or \"water to %s mL\"", chem.Digits(r.water.Millilitres(), 4), chem.Digits(total.Millilitres(), 4))}
	}
	return nil
}

// allPoured takes the sum of what is poured for the whole where nothing else is said and all
// of it is poured together: "50 mL 0.1 M NaH2PO4 + 50 mL 0.1 M Na2HPO4". Tables of buffers say
// "49 mL of A and 51 mL of B" of what is made up to 200 mL: that is asked.
func (r *Reading) allPoured(text string, parts []string, madeUp bool) {
	if madeUp || r.Volume > 0 || !together.MatchString(text) || strings.ContainsAny(text, ";\n") {
		return
	}
	sum := float64(r.beside)
	for _, p := range parts {
		_, got, err := quantity.In(phWords.ReplaceAllString(p, " "))
		if err != nil || got[quantity.OfVolume] == 0 {
			return
		}
		sum += got[quantity.OfVolume]
	}
	r.Volume, r.Loose = chem.Volume(sum), true
	r.Notes = append(r.Notes, fmt.Sprintf("the liquids poured together are taken as the whole: %s mL; made up to more, write \"to 1000 mL\"", chem.Digits(r.Volume.Millilitres(), 4)))
}

// together joins what is poured into one vessel.
var together = regexp.MustCompile(`\s\+\s`)

// figures is how many figures a volume in mL has before the zeros at its end.
func figures(v chem.Volume) int {
	s := strconv.FormatFloat(v.Millilitres(), 'e', 4, 64)
	s, _, _ = strings.Cut(s, "e")
	return len(strings.TrimRight(strings.Replace(s, ".", "", 1), "0"))
}

// titled takes a pH out of a heading, and what it is brought there with:
// "1.5 M Tris-HCl pH 8.8: 181.7 g Tris".
func (r *Reading) titled(heading string) {
	m := phWords.FindStringSubmatch(heading)
	if m == nil {
		return
	}
	r.says(quantity.Number(m[1]))
	name, _, err := quantity.In(phWords.ReplaceAllString(heading, " "))
	if err != nil {
		return
	}
	if _, titrant, ok := table.Brought(name); ok {
		r.title = titrant
	}
}

// asides are what is done with it without changing what is in it.
var asides = regexp.MustCompile(`(?i)^(?:and\s+)?(?:then\s+)?(?:(?:dissolve|stir|mix)(?:\s+(?:well|vigorously|gently|thoroughly|until\s+[^0-9]*))?|(?:autoclaved?|filter(?:ed)?|store|sterili[sz]e|keep|aliquot|check|degas(?:sed)?)\b.*|(?:at\s+[0-9]+\s*°\s*C\s+)?(?:autoklav|filtr|steril|lager|aufbewahr|conserv|autoclav)\pL+.*|[0-9]+\s*(?:h|hours?|min|minutes?)\b[^0-9]*(?:[0-9]+\s*°\s*C)?|(?:do\s+not|no\s+need\s+to|don't)\s+adjust.*)\.?$`)
