package written

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
)

// habits are ways to write a recipe that mean nothing else than how it is read
// here.
var habits = []struct {
	from *regexp.Regexp
	to   string
}{
	// Water by its names, before what is done with it.
	{regexp.MustCompile(`(?i)\b(?:aqua|a\.)\s*(?:bi)?dest\b\.?`), "water"},
	{regexp.MustCompile(`(?i)\b(?:d['’]|l['’]|de\s+l['’])?(?:eau|wasser|agua|acqua)\b(?:\s+(?:distillée|bidistillée|déminéralisée|désionisée|ultrapure|pure|milli-?q))?`), "water"},
	// French: "ajuster le pH à 7,4 avec HCl", "compléter à 1 L avec de l'eau".
	{regexp.MustCompile(`(?i)\bpH\s*[=:]?\s*([0-9][0-9.,]*)\s+(?:ajust|amen|port)\pL*\s+(?:avec|par)\s+`), "pH $1 with "},
	{regexp.MustCompile(`(?i)\b(?:ajust|amen|port)\pL*\s+(?:le\s+)?(?:pH\s+)?(?:à|a|au)\s+(?:pH\s+)?([0-9][0-9.,]*)(?:\s+(?:avec|par)\s+)?`), "pH $1 with "},
	{regexp.MustCompile(`(?i)\(\s*(?:ajust|amen|port)\pL*\s+(?:avec|par)\s+([^()]*?)(?:\s+concentré\pL*)?\s*\)`), "with $1"},
	{regexp.MustCompile(`(?i)\b(?:compl[ée]t|port|ramen)\pL*\s+(?:le\s+volume\s+)?(?:à|a)\s+([0-9][0-9.,]*\s*m?l)\b(?:\s+avec\s+(?:de\s+)?water)?`), "to $1"},
	{regexp.MustCompile(`(?i)\b(?:dissoudre|dissous|ajouter|mélanger|peser|solubiliser)\s+`), ""},
	{regexp.MustCompile(`(?i)\bdans\s+(?:(?:un\s+)?volume\s+final\s+de\s+)?([0-9])`), "in $1"},
	{regexp.MustCompile(`(?i)\btampon\s+(\pL[\pL-]*)`), "$1 buffer"},
	{regexp.MustCompile(`(?i)([0-9]\s*(?:[mµ]?M|[mµk]?g|[mµ]?L|%))\s+(?:(?:de|du)\s+|d['’])(\pL)`), "$1 $2"},
	{regexp.MustCompile(`(?i)(\s)et(\s)`), "${1}and$2"},
	// German: "pH mit HCl auf 7,6 einstellen", "mit H2O auf 1 L auffüllen".
	{regexp.MustCompile(`(?i)\b(?:stellt|stelle)\s+(?:den\s+)?(?:pH(?:-Wert)?\s+)?mit\s+([^;,\n]+?)\s+auf\s+(?:pH\s*)?([0-9][0-9.,]*)\s+ein\b`), "pH $2 with $1"},
	{regexp.MustCompile(`(?i)\bpH(?:-Wert)?\s+mit\s+([^;,\n]+?)\s+auf\s+([0-9][0-9.,]*)`), "pH $2 with $1"},
	{regexp.MustCompile(`(?i)\bmit\s+([^;,\n]+?)\s+auf\s+pH\s*([0-9][0-9.,]*)`), "pH $2 with $1"},
	{regexp.MustCompile(`(?i)\b(?:auf\s+)?pH(?:-Wert)?\s+(?:auf\s+)?([0-9])`), "pH $1"},
	{regexp.MustCompile(`(?i)\b(?:bi)?dest(?:\.|illiertem|illiertes)?\s*(water|H2O)\b|\b(?:VE|Reinst)-?\s?(water|H2O)\b`), "$1$2"},
	{regexp.MustCompile(`(?i)\bmit\s+((?:water|H2O))\s+auf\s+([0-9.,]+\s*m?l)\b(?:\s+(?:auffüllen|ergänzen|bringen))?`), "$1 to $2"},
	{regexp.MustCompile(`(?i)\bauf\s+([0-9.,]+\s*m?l)\s+(?:mit\s+(?:water|H2O)\s+)?(?:auffüllen|ergänzen|bringen)`), "to $1"},
	{regexp.MustCompile(`(?i)\s+(?:einstellen|einzustellen|eingestellt|bringen|titrieren|lösen|gelöst|auflösen)\b`), ""},
	{regexp.MustCompile(`(?i)(\s)und(\s)`), "${1}and$2"},
	{regexp.MustCompile(`(?i)\badj\.?\s+(?:to\s+)?pH`), "pH"},
	{regexp.MustCompile(`(?i)\(\s*(?:(?:MW|FW|Mr|M\.W\.|F\.W\.)\s*[=:]?\s*)?[0-9.]+\s*g/mol\s*\)|\(\s*(?:MW|FW|Mr|M\.W\.|F\.W\.)\s*[=:]?\s*[0-9.]+\s*\)|\s*,\s*(?:MW|FW|Mr|M\.W\.|F\.W\.)\s*[=:]?\s*[0-9.]*[0-9](?:\s*g/mol)?`), ""}, // molar masses
	{regexp.MustCompile(`(?i)(\A|[;,\n]\s*)([A-Za-z][A-Za-z0-9 /-]*?)\s*,?\s*(pH\s*[0-9]+(?:\.[0-9]+)?)\s*:\s*([0-9.,]+\s*[mµ]?M)\b`), "$1$2 $4 $3"},                                                                                 // "Tris-HCl, pH 7.5: 50 mM"
	{regexp.MustCompile(`(?i)\bbis\s+pH\b`), "to pH"},
	{regexp.MustCompile(`(?i)\bad\s+([0-9.,]+\s*m?l)\s+(?:water|H2O)\b`), "to $1"},
	{regexp.MustCompile(`(?i)\b(?:wasser|water|H2O)\s+(?:auf|ad)\s+([0-9.,]+\s*m?l)\b(?:\s+(?:auffüllen|ergänzen))?`), "water to $1"},
	{regexp.MustCompile(`(?i)\b(?:man\s+)?(?:löst|löse|wiege|einwiegen)\s+`), ""},
	{regexp.MustCompile(`(?i)\b(?:füllt|fülle)\s+(?:mit\s+water\s+)?auf\s+([0-9.,]+\s*m?l)\b(?:\s+mit\s+water)?(?:\s+auf\b)?`), "to $1"},
	// What the gas above it does is asked.
	{regexp.MustCompile(`(?i)[,;]?\s*\b(?:(?:bubbled|gassed|saturated|equilibrated|aerated|oxygenated)\b\s*(?:with\s+)?)(?:[0-9]+\s*%\s*O2\s*(?:[/+,]|and)?\s*)?`), "; "},
	{regexp.MustCompile(`(?i)\bcarbogen(?:ated)?\b(?:\s*\([^()]*\))?`), "5 % CO2"},
	{regexp.MustCompile(`(?i)[,;]?\s*\b(?:added\s+(?:fresh(?:ly)?|(?:just\s+)?before\s+use)|freshly\s+added|(?:just\s+)?before\s+use)\b`), ""},
	// Osmolality, which is measured and not made.
	{regexp.MustCompile(`(?i)[,;]?\s*(?:osmolal?r?ity\s*[=:]?\s*)?[0-9]+(?:\s*(?:-|–|±|\+/-)\s*[0-9]+)?\s*mOsm(?:ol)?(?:\s*/\s*(?:kg|L))?(?:\s*kg(?:-1|⁻¹))?(?:\s+with\s+\pL+)?`), ""},
	// The letters of two solutions that are mixed.
	{regexp.MustCompile(`([;,\n]\s*)[A-H]\s*[:)]\s+([0-9])`), "$1$2"},
	{regexp.MustCompile(`(?im)(\A|[;\n]\s*)([0-9.,]+\s*[mµ]?M\s+\pL[^;:,\n]*?)\s*,?\s*(pH\s*[0-9.,]*[0-9])?\s*:\s*([0-9.,]+\s*[mµ]?l\s*(?:[;,\n]|\z))`), "$1$2 $3 $4"}, // "1 M Tris-HCl, pH 7.5: 50 mL"
	// Ways to say a pH.
	{regexp.MustCompile(`(?i)\b(?:adjust|bring|brought|titrat|set)\pL*\s+(?:with|using)\s+([^;,\n]+?)\s+to\s+pH\s*([0-9][0-9.,]*)`), "pH $2 with $1"},
	{regexp.MustCompile(`(?i)\bpH\s+with\s+([^;,\n]+?)\s+to\s+([0-9][0-9.,]*)`), "pH $2 with $1"},
	{regexp.MustCompile(`(?i)(\bpH\s*[=:]?\s*[0-9][0-9.,]*)\s*(?:±|\+/-|\+-)\s*[0-9]*[.,]?[0-9]+`), "$1"},
	{regexp.MustCompile(`(?i)\(\s*(?:at\s+)?([0-9]+)\s*(?:degrees?|deg\.?|°)\s*\)`), "($1 °C)"},
	{regexp.MustCompile(`(?i)\A(\s*[A-Za-z][A-Za-z ]*\b(?:buffer|solution|medium))\s*=\s*([0-9])`), "$1: $2"},
	// Parts of volume, and the litre as a cube.
	{regexp.MustCompile(`(?i)([0-9]\s*%)\s+([^;,\n]*?)\s+by\s+vol(?:ume)?\b`), "$1 (v/v) $2"},
	{regexp.MustCompile(`(?i)([0-9]\s*)Vol\.?\s*-?\s*%|([0-9]\s*)%\s*(?:by\s+)?vol(?:ume)?\b\.?`), "$1$2% (v/v)"},
	{regexp.MustCompile(`(?i)([0-9]\s*)(?:Gew|wt)\.?\s*-?\s*%`), "$1% w/w"},
	{regexp.MustCompile(`(?i)mol\s*(?:/\s*dm\s?(?:\^?3|³)|[·⋅.]?\s*dm\s?(?:\^?[-−–]\s?3|⁻³))`), "mol/L"},
	{regexp.MustCompile(`([0-9]\s*)cm(?:\^?3|³)`), "${1}mL"},
	{regexp.MustCompile(`(?i)\(\s*(mM|mmol/L|µM)\s*\)\s*:`), " in $1: "}, // "Solution (mM): NaCl 145"
	{regexp.MustCompile(`(?i)\A\s*to\s+([0-9.,]+\s*m?l)\s+(?:of\s+)?(?:(?:dd|di|mq|milli-?q|ultrapure|distilled|deionis?z?ed)\s*)?(?:water|H2O)\s*,?\s*add\s*:?\s+`), "water $1; "},
	{regexp.MustCompile(`(?m)^[ \t|:+-]*\|[ \t|:+-]*$`), ""},                                         // the rule below the head of a table
	{regexp.MustCompile(`\A\s*[^0-9\n]*\|[^0-9\n]*\n`), ""},                                          // the head: no figure in it
	{regexp.MustCompile(`[|\t]+`), " "},                                                              // its columns
	{regexp.MustCompile(`(?:[~≈]|\b(?:ca|approx|about|approximately|around)\b\.?)\s*([0-9])`), "$1"}, // "~20 g"
	{regexp.MustCompile(`(?i)\s+pellets\b`), ""},
	{regexp.MustCompile(`(?i)\bw/\s*((?:[0-9.,]+\s*[MN]\s+)?(?:conc\.?\s+|glacial\s+)?(?:HCl|NaOH|KOH|LiOH|NH4OH|H3PO4|H2SO4|acetic\s+acid|phosphoric\s+acid|Tris)\b)`), "with $1"},
	{regexp.MustCompile(`(?i)\(\s*(?:diluted\s+)?from\s+[^()]*?(pH\s*[0-9.,]*[0-9])[^()]*\)`), "($1)"},                                       // "40 mM HEPES (from 1 M, pH 7.5)"
	{regexp.MustCompile(`(?i)\s*\(\s*(?:diluted\s+)?from\s+(?:an?\s+)?[0-9][^()]*\)`), ""},                                                   // "20 mM Tris pH 7.4 (from 1 M stock)"
	{regexp.MustCompile(`(?i)([0-9]\s*[mµ]l)\s+(?:(?:made\s+up|up)\s+)?to\s+([0-9.,]+\s*m?l)\b\s*\.?\s*\z`), "$1; to $2"},                    // "HCl 6 M 1 mL to 100 mL"
	{regexp.MustCompile(`(?i)\b((?:[a-z]+\s)?acid|ammonia)\s*,\s*(glacial|conc(?:entrated|\.)?)(\s)`), "$2 $1$3"},                            // "acetic acid, glacial 57.1 mL"
	{regexp.MustCompile(`(?i)([0-9]\s*%)\s+([^;,\n(]*[^;,\n(\s])\s*\(?\b(w/v|v/v|wt/vol|vol/vol)\b\)?`), "$1 ($3) $2"},                       // "50 % PEG 3350 w/v"
	{regexp.MustCompile(`(?i)([0-9]\s*m?g)\s+(?:(?:(?:made\s+up|up)\s+)?to|ad|auf)\s+([0-9.,]+\s*m?l|1\s+litre)\b\s*\.?\s*\z`), "$1; to $2"}, // "HEPES 4.77 g to 1 L"
	{regexp.MustCompile(`([0-9]\s*)(?:mm|MM)\b`), "${1}mM"},                                                                                  // no length is meant
	{regexp.MustCompile(`(?i)\bpH\s*\(\s*([0-9][0-9.,]*)\s*\)`), "pH $1"},                                                                    // "pH (7.5)"
	{regexp.MustCompile(`(?i)\(\s*(mM|mmol/L)\s*\)(\s*[,;]\s*pH[^()]*)?\s*\z`), "in $1$2"},                                                   // "Tris 20, NaCl 100 (mM)"
	{regexp.MustCompile(`(?i)\bpH\s+(?:(?:is|was|to\s+be)\s+)?(?:adjusted|brought|set|titrated)\s+(?:to\s+)?([0-9])`), "pH $1"},              // "pH adjusted to 7.4 with KOH"
	{regexp.MustCompile(`(?i)\A\s*(?:mix|combine|take)\s+([0-9])`), "$1"},
	{regexp.MustCompile(`(?i)\s+with\s+(?:(?:about|around|approximately|some)\s+)?([0-9]+(?:[.,][0-9]+)?\s*m?l\s)`), "; $1"}, // "50 mL 0.1 M KH2PO4 with 29.1 mL 0.1 M NaOH"
	{regexp.MustCompile(`(?i)([0-9])\s*g\s*(?:/|per)\s*100\s*mL`), "$1 % (w/v)"},
	{regexp.MustCompile(`\.{3,}`), " "},                                                          // "Tris ....... 2.42 g"
	{regexp.MustCompile(`(?m)^\s*\(?[0-9a-hA-H]{1,2}\)\s+|^\s*[0-9]{1,2}\.\s+([A-Za-z])`), "$1"}, // "1) Tris", "(a) Tris", "1. Tris"
	{regexp.MustCompile(`(?i)([;,]\s*)\([a-h]\)\s+`), "$1"},
	{regexp.MustCompile(`([A-Za-z0-9)])/(\s*(?:[0-9]+(?:[.,][0-9]+)?\s*(?:[mµun]?M|%)\s*\pL|pH\s*[0-9]))`), "$1; $2"}, // "50 mM Tris/150 mM NaCl/pH 8.0"
	{regexp.MustCompile(`([0-9]\s*[mµu]?M)-([A-Za-z])`), "$1 $2"},                                                     // "50mM-Tris"
	{regexp.MustCompile(`([A-Za-z0-9)])\s*=\s*([0-9]+(?:[.,][0-9]+)?\s*(?:[mµun]?M|m?g|[mµ]?[lL]|%))`), "$1 $2"},      // "NaCl=150 mM"
	{regexp.MustCompile(`(?i)\bq\.?\s?s\.?(?:\s?p\b\.?)?\s+(?:to\s+|ad\s+)?`), "to "},                                 // as much as it takes
	{regexp.MustCompile(`(?i)\(\s*([A-Z][A-Za-z0-9]*)\s*,\s*(pH\s*[=:]?\s*[0-9.,]*[0-9])\s*\)`), "($2 with $1)"},      // "(NaOH, pH 7.4)"
	{regexp.MustCompile(`(?i)(pH\s*[=:]?\s*[0-9.,]*[0-9])\s*\(\s*(?:[0-9.,]+\s*[MN]\s+)?((?:conc\.?\s+|glacial\s+)?(?:HCl|NaOH|KOH|LiOH|NH4OH|H3PO4|H2SO4|acetic\s+acid|phosphoric\s+acid))\s*\)`), "$1 with $2"},
	{regexp.MustCompile(`([0-9]\s*%)([A-Za-z])`), "$1 $2"},                                                           // "0.01%NaN3"
	{regexp.MustCompile(`([0-9]\.[0-9]+)\s*,\s*([0-9])`), "$1; $2"},                                                  // after a decimal point a comma is none
	{regexp.MustCompile(`(?i)[,;]\s*(?:and|plus)\s+`), "; "},                                                         // ", and 2 mM KH2PO4"
	{regexp.MustCompile(`(?i)\(\s*(pH\s*[=:]?\s*[0-9.,]*[0-9])\s*[,;]\s*([A-Za-z][A-Za-z0-9 ]*)\)`), "($1 with $2)"}, // "(pH 7.4, KOH)"
	{regexp.MustCompile(`(?i)([(\s][0-9.]+[0-9]*\s*[mµu]?M)\s*[,;]\s*(pH\s*[=:]?\s*[0-9.,]*[0-9]\s*\))`), "$1 $2"},   // "(1 M, pH 8.0)"
	{regexp.MustCompile(`(?i)\b(?:final\s+|total\s+)?vol(?:ume)?\b\.?\s*[:=]?\s*([0-9.,]+\s*m?l)\b`), "to $1"},
	{regexp.MustCompile(`(?i)\A(\s*\pL[\pL0-9 ]*(?:buffer|solution|medium|puffer|lösung)(?:\s+[A-H0-9])?)\s+[-–—]\s+([0-9])`), "$1: $2"},
	{regexp.MustCompile(`([^\s])[ ]+[-–][ ]+`), "$1 "},                                                                                      // "Tris 1 M - 50 mL"
	{regexp.MustCompile(`\.\s+(Adjust|Do|Make|Bring|Add|Dissolve|Fill|Mix|Titrate|Top|Set|Store|Stir|Autoclave|Filter|Then|pH)\b`), "; $1"}, // sentences
	{regexp.MustCompile(`(?i)[,;]?\s*\b(?:buffer\s+)?(?:containing|contenant|enthaltend|consisting\s+of|composed\s+of|supplemented\s+with)\s+`), "; "},
	{regexp.MustCompile(`(?is)[ ]+to\s+[0-9.,]+\s*m?l\s+(?:of\s+)?(?:(?:dd|di|mq|milli-?q|ultrapure|distilled|deionis?z?ed)\s*)?(?:water|H2O)\b(.*\b(?:bring|make\s+up|fill|top\s+up)\b)`), "$1"},  // "… to 800 mL water"
	{regexp.MustCompile(`(?is)(\A|[;\n]\s*)add\s+([^;\n]*?)\s+to\s+([0-9.,]+\s*m?l)\s+(?:of\s+)?(?:(?:dd|di|mq|milli-?q|ultrapure|distilled|deionis?z?ed)\s*)?(?:water|H2O)\b`), "$1$2; water $3"}, // what is added to water is not made up to it
	{regexp.MustCompile(`(?im)(?:^|[ ]+)to\s+([0-9.,]+\s*m?l)\s+(?:of\s+)?(?:(?:dd|di|mq|milli-?q|ultrapure|distilled|deionis?z?ed)\s*)?(?:water|H2O)\b`), "; to $1"},
	{regexp.MustCompile(`(?i)\b(?:dissolved?\s+)?in\s+([0-9.,]+\s*m?l)\s+(?:milli-?q|mq)(?:\s*(?:water|H2O))?`), "in $1 water"},
	{regexp.MustCompile(`(?i)\s+in\s+(?:(?:dd|di|mq|ultrapure|distilled|deionis?z?ed)\s*)?(?:water|H2O)\b`), ""},
}

// tidied is a recipe without habits of writing.
func tidied(text string) string {
	text = powers.ReplaceAllStringFunc(text, func(s string) string {
		m := powers.FindStringSubmatch(s)
		if m[1] == "" {
			m[1] = "1"
		}
		return m[1] + "e" + raised.Replace(m[2]+m[3])
	})
	text = fractions.ReplaceAllStringFunc(text, func(s string) string {
		return chem.Digits(1e3/number(fractions.FindStringSubmatch(s)[1]), 4) + " mM"
	})
	for _, x := range habits {
		text = x.from.ReplaceAllString(text, x.to)
	}
	text = with.ReplaceAllStringFunc(text, func(s string) string {
		if m := with.FindStringSubmatch(s); !strongest(m[2]) {
			return "; " + m[1] + " " + m[2]
		}
		return s
	})
	text = byName.ReplaceAllStringFunc(text, func(s string) string {
		m := byName.FindStringSubmatch(s)
		list := listed.Split(m[2], -1)
		for _, n := range list {
			if !isReagent(n) {
				return s
			}
		}
		if i := slices.IndexFunc(list, strongest); i >= 0 {
			return m[1] + " with " + list[i]
		}
		return m[1] + " with " + list[0]
	})
	text = aside.ReplaceAllStringFunc(text, func(s string) string { return strings.ReplaceAll(s, ",", "") })
	return colons.ReplaceAllStringFunc(text, func(s string) string {
		m := colons.FindStringSubmatch(s)
		if isReagent(m[1]) || strings.EqualFold(m[1], "pH") {
			return m[1] + " " + m[2]
		}
		return s
	})
}

// powers are figures with a power of ten: "1.5 x 10^-3 M", "10⁻³ M".
var (
	powers = regexp.MustCompile(`(?:\b([0-9]+(?:[.,][0-9]+)?)\s*[xX×*·]\s*)?\b10(?:\s?(?:\^|\*\*)\s?([-−–+]?[0-9]{1,2})|([⁻⁺]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,2}))`)
	raised = strings.NewReplacer("⁻", "-", "⁺", "", "−", "-", "–", "-", "⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")
)

// Commas that can be nothing but decimal ones.
var (
	decimalComma = regexp.MustCompile(`[0-9],[0-9]{1,2}(?:[^0-9,]|\z)`)
	decimalPoint = regexp.MustCompile(`[0-9]\.[0-9]`)
	threeFigures = regexp.MustCompile(`([0-9]+),([0-9]{3})\b`)
)

// fractions are strengths of old tables, "M/15".
var fractions = regexp.MustCompile(`\bM/([1-9][0-9]{0,3})\b`)

// with is what is in it besides, and is no titrant: "20 mM Tris pH 8 with 150 mM NaCl".
var with = regexp.MustCompile(`(?i)[,;]?\s+(?:with|mit|avec|plus)\s+([0-9]+(?:[.,][0-9]+)?\s*(?:[mµun]?M|[mµ]?mol/L|%(?:\s*\([wv]/v\))?|[mµ]?g(?:/m?L)?))\s+(\pL[\pL0-9]*)`)

// byName is a pH with what brings a solution there in brackets: "pH 3.0 (formic acid)".
var byName = regexp.MustCompile(`(?i)(\bpH\s*[=:]?\s*[0-9.,]*[0-9])\s*\(\s*(\pL[^()0-9]*)\)`)

// aside is what stands in brackets without a figure: "(monobasic, anhydrous)".
var aside = regexp.MustCompile(`\([^()0-9]*\)`)

// colons are between a reagent and its amount, without a space: "Tris:50mM".
var colons = regexp.MustCompile(`([A-Za-z][A-Za-z0-9-]*):([0-9])`)

// inARow are parts that only spaces set apart: "100 mM HEPES 200 mM NaCl" or
// "HEPES 100 mM NaCl 200 mM". What does not come out as reagents with an amount each
// stays together.
func inARow(p string) []string {
	at := quantity.FindAllStringSubmatchIndex(p, -1)
	if _, _, err := quantities(p); err == nil || len(at) < 2 {
		return []string{p}
	}
	last := ""
	if m := inWords.FindStringIndex(p); m != nil { // "… in 1 L" belongs to all of it
		p, last = p[:m[0]], p[m[0]:]
		if at = quantity.FindAllStringSubmatchIndex(p, -1); len(at) < 2 {
			return []string{p + last}
		}
	}
	first := strings.TrimSpace(p[:at[0][2]]) == ""
	var out []string
	from := 0
	for i, m := range at {
		cut := m[2] // before the figure
		if !first {
			cut = len(p)
			if i+1 < len(at) { // after the unit and a pH
				cut = m[1]
				if ph := phWords.FindStringIndex(p[cut:at[i+1][0]]); ph != nil {
					cut += ph[1]
				}
			}
		}
		if x := strings.Trim(p[from:cut], " -"); x != "" {
			out = append(out, x)
		}
		from = cut
	}
	if x := strings.Trim(p[from:], " -"); x != "" {
		out = append(out, x)
	}
	for _, x := range out {
		if !reagentWithAmount(phWords.ReplaceAllString(x, " ")) && !onlyPH.MatchString(x) {
			return []string{p + last}
		}
	}
	if last != "" {
		out = append(out, strings.TrimSpace(last))
	}
	return out
}

// reagentWithAmount reports whether a text is a name that is known and an amount.
func reagentWithAmount(text string) bool {
	name, got, err := quantities(text)
	if err != nil || len(got) == 0 {
		return false
	}
	_, _, salt := table.Brought(name)
	_, apart := table.Apart(name)
	return salt || apart || isReagent(name)
}

// twice is an amount in brackets beside a strength: "50 mM NaH2PO4 (6.90 g
// NaH2PO4·H2O)", and beside a pH how much it will take.
var twice = regexp.MustCompile(`^(.*\S)\s*\(([^()]*[0-9][^()]*)\)$`)

// once leaves it out, and says so.
func (r *Reading) once(p string) string {
	m := twice.FindStringSubmatch(p)
	if m == nil || phWords.MatchString(m[2]) {
		return p
	}
	_, inner, err := quantities(m[2])
	if err != nil || len(inner) == 0 {
		return p
	}
	_, outer, err := quantities(phWords.ReplaceAllString(m[1], " "))
	_, strength := outer[ofStrength]
	if err != nil || !(len(outer) == 1 && strength && hasAmount(m[1]) && weighs(inner)) && !(len(outer) == 0 && phWords.MatchString(m[1])) {
		return p
	}
	r.Notes = append(r.Notes, fmt.Sprintf("what stands in brackets is left to what stands before them: %q", p))
	return m[1]
}

// basicWords say how many protons a phosphate has lost, which its formula says too;
// formWords may say another jar than the name alone.
var (
	basicWords = regexp.MustCompile(`(?i)\b(?:mono|di|tri)basic\b`)
	formWords  = regexp.MustCompile(`(?i)acid|base|salt|sodium|potassium|hydr|HCl|\bNa|\bK`)
)

// bracketed is a name with a word in brackets behind it.
var bracketed = regexp.MustCompile(`^(.*\S)\s*\([^()]*\)$`)

// withoutBrackets is a name without a word in brackets that no table has.
func (r *Reading) withoutBrackets(name string) string {
	if isReagent(name) {
		return name
	}
	if s := basicWords.ReplaceAllString(name, ""); s != name && isReagent(s) {
		return s
	}
	m := bracketed.FindStringSubmatch(name)
	if m == nil || !isReagent(m[1]) || formWords.MatchString(name[len(m[1]):]) {
		return name
	}
	r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as %s", name, m[1]))
	return m[1]
}
