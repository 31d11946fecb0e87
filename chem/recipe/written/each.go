package written

import (
	"fmt"
	"regexp"
	"strings"

	"example.org/halfdrop/chem/recipe/written/quantity"
)

var (
	eachBefore = regexp.MustCompile(`(?i)^(.*[0-9]\s*(?:[mµun]?M|[mµun]?mol/L|[mµ]?g|%))\s+(?:of\s+)?each\s*(?:of\s+)?:?\s*(.*)$`)
	eachAfter  = regexp.MustCompile(`(?i)^(?:(.*\S)\s*[(,]?\s*)?\(?\b([0-9]+(?:[.,][0-9]+)?\s*(?:[mµun]?M|[mµun]?mol/L|[mµ]?g|%))\s*each\)?$`)
	listed     = regexp.MustCompile(`\s*(?:,|/|\+|&|\band\b)\s*`)
)

// nucleotides are what NTP stands for where it is said that there is so much of each.
var nucleotides = regexp.MustCompile(`(?i)^r?NTPs?(?:\s+mix)?$`)

// eachOf gives every name of a list the amount that is said once for all of them: "2 mM
// each ATP, GTP, CTP and UTP", "ATP, GTP 2 mM each". Names without an amount that do not
// stand next to such a word stay as they are.
func eachOf(parts []string) []string {
	var out []string
	for i := 0; i < len(parts); i++ {
		p := parts[i]
		if m := eachBefore.FindStringSubmatch(p); m != nil {
			names := namesIn(m[2])
			for ; len(names) > 0 && i+1 < len(parts) && bareName(parts[i+1]); i++ {
				names = append(names, namesIn(parts[i+1])...)
			}
			if len(names) > 0 {
				out = append(out, apiece(names, m[1])...)
				continue
			}
		}
		if m := eachAfter.FindStringSubmatch(p); m != nil {
			names := namesIn(m[1])
			for len(out) > 0 && bareName(out[len(out)-1]) {
				names = append(namesIn(out[len(out)-1]), names...)
				out = out[:len(out)-1]
			}
			if len(names) > 0 {
				out = append(out, apiece(names, m[2])...)
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

// namesIn are those of "ATP, GTP and CTP"; a name with such a sign in it that is known
// stays whole.
func namesIn(text string) []string {
	text = strings.Trim(text, " ,:;()")
	if text == "" {
		return nil
	}
	if isReagent(text) {
		return []string{text}
	}
	var out []string
	for _, n := range listed.Split(text, -1) {
		if n = strings.Trim(n, " ()"); n != "" {
			out = append(out, n)
		}
	}
	return out
}

// bareName reports whether a part is the name of a reagent and no more.
func bareName(p string) bool {
	_, got, err := quantity.In(p)
	if err != nil || len(got) > 0 || phWords.MatchString(p) {
		return false
	}
	names := namesIn(p)
	for _, n := range names {
		if !isReagent(n) && !isApart(n) {
			return false
		}
	}
	return len(names) > 0
}

func apiece(names []string, amount string) []string {
	var out []string
	for _, n := range names {
		all := []string{n}
		if nucleotides.MatchString(n) {
			all = []string{"ATP", "GTP", "CTP", "UTP"}
		}
		for _, n := range all {
			out = append(out, fmt.Sprintf("%s %s", n, amount))
		}
	}
	return out
}
