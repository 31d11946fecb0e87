package frame

import "strings"

// Shape is one row of the table of line shapes.
type Shape struct {
	Name    string                    // in words, for people
	Example string                    // a line of this shape
	sig     string                    // one letter a token
	check   func(ph, temp token) bool // nil, or what must hold of the two numbers
}

// Shapes is the table of the line shapes that Line reads, in the order in
// which they are tried. Date, time and channel may stand before or after, and
// words of the meter about itself (stable, unstable, ATC, MTC, over, under)
// anywhere. JSON objects and checksum sentences hold the same values.
func Shapes() []Shape { return append([]Shape(nil), shapes...) }

// The letters of a signature are those of the tokens; p, m and t stand for the
// number that is the pH, the mV and the temperature.
var shapes = []Shape{
	row("a bare number", "7.021", "p"),
	row("pH label, value", "pH 7.021", "Lp"),
	row("value, pH unit", "+07.021 pH", "pL"),
	pair("value, temperature, no units", "7.02,25.1", "pt", phFirst),
	pair("temperature, value, no units", "25.1 7.021", "tp", tempFirst),
	row("value, temperature with unit", "7.02 25.1 C", "ptC"),
	row("temperature with unit, value", "25.1 C 7.02", "tCp"),
	row("value, labelled temperature", "7.02 T 25.1", "pTt"),
	row("value, labelled temperature with unit", "7.02 T=25.1C", "pTtC"),
	pair("pH label, value, temperature", "pH 7.021 25.1", "Lpt", nil),
	row("pH label, value, temperature with unit", "pH 7.021 25.1 C", "LptC"),
	row("pH label, value, labelled temperature", "pH=7.02 T=25.1", "LpTt"),
	row("pH label, value, labelled temperature with unit", "pH: 7.02; Temp: 25.1 C", "LpTtC"),
	pair("value, pH unit, temperature", "7.02 pH 25.1", "pLt", phFirst),
	row("value, pH unit, temperature with unit", "7.02 pH 25.1 C", "pLtC"),
	row("value, pH unit, labelled temperature", "7.02 pH T 25.1", "pLTt"),
	row("value, pH unit, labelled temperature with unit", "7.02 pH T 25.1 C", "pLTtC"),
	pair("temperature, pH label, value", "25.1 pH 7.02", "tLp", tempFirst),
	row("temperature with unit, pH label, value", "25.1 C pH 7.02", "tCLp"),
	row("temperature with unit, value, pH unit", "25.1 C;7.02 pH", "tCpL"),
	row("labelled temperature, pH label, value", "T 25.1 pH 7.02", "TtLp"),
	row("labelled temperature with unit, pH label, value", "T 25.1 C, pH 7.02", "TtCLp"),
	row("value, mV unit", "-173.2 mV", "mM"),
	row("mV label, value", "mV -173.2", "Mm"),
	row("value, mV unit, temperature with unit", "-173.2 mV 25.1 C", "mMtC"),
	row("temperature with unit, value, mV unit", "25.1 C -173.2 mV", "tCmM"),
	row("mV label, value, temperature with unit", "mV -173.2 25.1 C", "MmtC"),
	row("mV label, value, labelled temperature", "mV=-173.2 T=25.1", "MmTt"),
	row("mV label, value, labelled temperature with unit", "mV=-173.2 T=25.1C", "MmTtC"),
	row("pH label, value, mV label, value", "pH=7.02 mV=-1.2", "LpMm"),
	row("pH label, value, value, mV unit", "pH 7.02 -1.2 mV", "LpmM"),
	row("value, pH unit, value, mV unit", "7.02 pH -1.2 mV", "pLmM"),
	row("value, value, mV unit", "7.02;-1.2 mV", "pmM"),
	row("value, mV unit, value, pH unit", "-1.2 mV 7.02 pH", "mMpL"),
	row("mV label, value, pH label, value", "mV -1.2 pH 7.02", "MmLp"),
	row("pH, mV and temperature, units after", "7.02 pH -1.2 mV 25.1 C", "pLmMtC"),
	row("pH, temperature and mV, units after", "7.02 pH 25.1 C -1.2 mV", "pLtCmM"),
	row("mV, pH and temperature, units after", "-1.2 mV 7.02 pH 25.1 C", "mMpLtC"),
	row("pH label, value, mV and temperature with units", "pH 7.02 -1.2 mV 25.1 C", "LpmMtC"),
	row("value, mV and temperature with units", "7.02;-1.2 mV;25.1 C", "pmMtC"),
	row("labels before pH, mV, temperature", "pH 7.02 mV -1.2 T 25.1", "LpMmTt"),
	row("labels before pH, mV, temperature with unit", "pH=7.02;mV=-1.2;T=25.1C", "LpMmTtC"),
	row("labels before pH, temperature, mV", "pH=7.02;T=25.1;mV=-1.2", "LpTtMm"),
	row("labels before pH, temperature with unit, mV", "pH=7.02;T=25.1C;mV=-1.2", "LpTtCMm"),
}

// row builds a shape from its signature.
func row(name, example, sig string) Shape { return Shape{Name: name, Example: example, sig: sig} }

// pair builds a shape whose numbers must also satisfy check.
func pair(name, example, sig string, check func(ph, temp token) bool) Shape {
	s := row(name, example, sig)
	s.check = check
	return s
}

// fits compares tokens with the signature of the shape and picks out its numbers.
func (s Shape) fits(tokens []token) (v value, ok bool) {
	if len(tokens) != len(s.sig) {
		return v, false
	}
	v.shape = s.Name
	for i, t := range tokens {
		switch c := s.sig[i]; {
		case c == 'p' && strings.IndexByte("NIZX", t.kind) >= 0:
			v.ph, v.hasPH = t, true
		case c == 'm' && strings.IndexByte("NIZX", t.kind) >= 0:
			v.mv, v.hasMV = t, true
		case c == 't' && strings.IndexByte("NIZ", t.kind) >= 0:
			v.temp, v.hasTemp = t, true
		case c != t.kind:
			return v, false
		}
	}
	return v, true
}

// cores are the parts of a line that can be its values: what is left when date,
// time, channel and record number are taken from its ends, the longest first.
func cores(tokens []token) (out [][]token) {
	for lead := 0; lead <= len(tokens) && lead <= 4; lead++ {
		if !isLead(tokens[:lead]) {
			continue
		}
		for tail := 0; tail <= len(tokens)-lead && tail <= 2; tail++ {
			if isTail(tokens[len(tokens)-tail:]) {
				out = append(out, tokens[lead:len(tokens)-tail])
			}
		}
	}
	return out
}

// isLead reports whether tokens can stand before the values: a channel, 1 to
// 16, or a record number of any size when a date or time follows it; date and
// time; a channel.
func isLead(tokens []token) bool {
	if len(tokens) > 1 && tokens[0].kind == tokInteger && isWhen(tokens[1:2]) {
		tokens = tokens[1:]
	} else if len(tokens) > 1 && isChannel(tokens[0]) {
		tokens = tokens[1:]
	}
	if n := len(tokens); n > 0 && isChannel(tokens[n-1]) {
		tokens = tokens[:n-1]
	}
	return len(tokens) == 0 || isWhen(tokens)
}

func isTail(tokens []token) bool {
	return len(tokens) == 0 || isWhen(tokens) || len(tokens) == 1 && tokens[0].kind == tokChannel
}

func isChannel(t token) bool {
	return t.kind == tokChannel || t.kind == tokInteger && t.value >= 1 && t.value <= 16
}

// isWhen reports whether tokens are a date, a time, or one of each.
func isWhen(tokens []token) bool {
	dates, times := 0, 0
	for _, t := range tokens {
		switch t.kind {
		case tokDate:
			dates++
		case tokTime:
			times++
		default:
			return false
		}
	}
	return dates <= 1 && times <= 1 && dates+times > 0
}

// phFirst reports whether of two numbers without units the first can only be
// the pH: the second cannot be one, or has fewer decimals than a pH is sent with.
func phFirst(ph, temp token) bool {
	return couldBePH(ph) && (!couldBePH(temp) || ph.decimals > temp.decimals)
}

// tempFirst reports whether of two numbers without units the first can only be
// a temperature: it cannot be a pH, and the other can and is the finer one.
func tempFirst(ph, temp token) bool {
	return !couldBePH(temp) && temp.kind == tokNumber && couldBeTemp(temp.value) &&
		couldBePH(ph) && ph.decimals >= temp.decimals
}

func couldBePH(t token) bool {
	return t.kind == tokRange || t.kind == tokNumber && t.decimals > 0 && possiblePH(t.value)
}
