package widget

import (
	"strings"

	"example.org/halfdrop/meter/phrase"
)

// Set is the characters that a terminal can show.
type Set struct {
	ASCII   bool // nothing but ASCII
	Braille bool // dots of two by four in a cell

	Dot, Ring, Cross   string // settled, settling, no reading
	Moving             string // up or down: it has no direction
	Act, Rest          string // before the sentence
	Good, Warn         string
	Stripes            [4]string // left edge of the card: act, rest, good, warn
	Arrow, Ellipsis    string
	Rail               string // of the lane
	TolLow, TolHigh    string
	AimMark, TolFill   string
	LandLow, LandHigh  string
	LandMark, LandFill string
	BarFull, BarEmpty  string
	BarEdges           [2]string
	HLine, VLine       string
	Tick, TickLeft     string
	Corner, Dashes     string
	parts              []string // of a bar, from thin to nearly full
	pair               [4]string
	Bottle, Flask      [3]string // a bottle of base and one of acid, with room for a number
	quarters           []string  // of a cell: left and right above, left and right below; nil without
	words              *strings.Replacer
}

// Unicode is the full set, for terminals with a modern font.
var Unicode = Set{
	Braille: true,
	Dot:     "●", Ring: "○", Cross: "×", Moving: "≈",
	Act: "▼", Rest: "○", Good: "■", Warn: "▲",
	Stripes: [4]string{"┃", "┊", "║", "╏"},
	Arrow:   "→", Ellipsis: "…",
	Rail: "─", TolLow: "[", TolHigh: "]", AimMark: "╪", TolFill: "═",
	LandLow: "‹", LandHigh: "›", LandMark: "◇", LandFill: "╌",
	BarFull: "█", BarEmpty: "·", BarEdges: [2]string{"▕", "▏"},
	HLine: "─", VLine: "│", Tick: "┬", TickLeft: "┤", Corner: "└", Dashes: "╌",
	Bottle:   [3]string{"┏┻┓", "┃ ┃", "┗━┛"},
	Flask:    [3]string{" ┃ ", "╱ ╲", "▔▔▔"},
	parts:    []string{"▏", "▎", "▍", "▌", "▋", "▊", "▉"},
	pair:     [4]string{" ", "▀", "▄", "█"},
	quarters: []string{" ", "▘", "▝", "▀", "▖", "▌", "▞", "▛", "▗", "▚", "▐", "▜", "▄", "▙", "▟", "█"},
}

// Console is for fonts of 256 or 512 characters, such as the Linux console's:
// blocks and lines, no braille and no rare signs.
var Console = Set{
	Dot: "■", Ring: "o", Cross: "x", Moving: "~",
	Act: "▼", Rest: "o", Good: "■", Warn: "▲",
	Stripes: [4]string{"█", "│", "║", "▒"},
	Arrow:   "→", Ellipsis: "...",
	Rail: "─", TolLow: "[", TolHigh: "]", AimMark: "╪", TolFill: "═",
	LandLow: "<", LandHigh: ">", LandMark: "*", LandFill: "-",
	BarFull: "█", BarEmpty: "░", BarEdges: [2]string{"[", "]"},
	HLine: "─", VLine: "│", Tick: "┬", TickLeft: "┤", Corner: "└", Dashes: "-",
	Bottle: [3]string{"┌┴┐", "│ │", "└─┘"}, Flask: [3]string{" │ ", "/ \\", "───"},
	parts: []string{"▌"},
	pair:  [4]string{" ", "▀", "▄", "█"},
	words: strings.NewReplacer(append([]string{"…", "...", "–", "-", "−", "-", "—", "-", "′", "'", "‹", "<", "›", ">"}, plainer...)...),
}

// ASCII is for terminals without any of that, and for those that give line and
// block characters two cells.
var ASCII = Set{
	ASCII: true,
	Dot:   "@", Ring: "o", Cross: "x", Moving: "~",
	Act: ">", Rest: "o", Good: "#", Warn: "!",
	Stripes: [4]string{"|", ":", "#", "!"},
	Arrow:   "->", Ellipsis: "...",
	Rail: "-", TolLow: "[", TolHigh: "]", AimMark: "+", TolFill: "=",
	LandLow: "<", LandHigh: ">", LandMark: "*", LandFill: ".",
	BarFull: "#", BarEmpty: ".", BarEdges: [2]string{"[", "]"},
	HLine: "-", VLine: "|", Tick: "+", TickLeft: "+", Corner: "+", Dashes: "-",
	Bottle: [3]string{"+-+", "| |", "+-+"}, Flask: [3]string{" | ", "/ \\", "---"},
	pair: [4]string{" ", "'", ".", ":"},
	words: strings.NewReplacer(append([]string{"±", "+/-", "°", "", "·", "-", "→", "->", "…", "...",
		"–", "-", "−", "-", "µ", "u", "×", "x", "≈", "~", "½", "1/2", "′", "'", "²", "2",
		"↑", "up", "↓", "down", "←", "<-", "‹", "<", "›", ">", "─", "-", "≤", "<=", "≥", ">=", "—", "-"}, plainer...)...),
}

// plainer are signs of words that fonts of 256 characters lack, and what is written then.
var plainer = []string{"₂", "2", "₃", "3", "₄", "4", "⁺", "+", "⁻", "-", "¹", "1", "³", "3", "‘", "'", "’", "'", "“", "\"", "”", "\"", "Δ", "d", "γ", "gamma"}

// Text is words in the characters of the set: a sign that the terminal does
// not have becomes one that it has.
func (s *Set) Text(words string) string {
	if s.words == nil {
		if strings.Contains(words, "-") { // a look that spares most the search
			words = phrase.Minuses(words)
		}
		return words
	}
	words = s.words.Replace(words)
	if !s.ASCII {
		return words
	}
	return strings.Map(func(r rune) rune {
		if r > 0x7e {
			return '?'
		}
		return r
	}, words)
}

// glyphs are the big figures and letters, drawn for this program after the
// labels that are written on bottles: open four, barred seven, three with a
// flat top, a zero narrower than the letter. Five rows of pixels each,
// separated by slashes; letters that would reach below the line stand on it. The
// corners of @ stay square, which tells a D from an O and a B from an 8.
var glyphs = map[rune]string{
	'0': ".##./#..#/#..#/#..#/.##.", '1': ".#./##./.#./.#./###", '2': "###./...#/.##./#.../####",
	'3': "####/..#./.##./...#/###.", '4': "#.../#.#./####/..#./..#.", '5': "####/#.../###./...#/###.",
	'6': ".##./#.../###./#..#/.##.", '7': "####/...#/.###/..#./..#.", '8': ".##./#..#/.##./#..#/.##.",
	'9': ".##./#..#/.###/...#/.##.", wideOne: "..#./.##./..#./..#./.###",

	'.': "././././#", ',': "././././#", '-': ".../.../###/.../...", '–': ".../.../###/.../...", '·': "././#/./.",
	'+': ".../.#./###/.#./...", '?': "###./...#/.##./..../.#..", '!': "#/#/#/./#", ' ': "../../../../..",
	'/': "..#/..#/.#./#../#..", '(': ".#/#./#./#./.#", ')': "#./.#/.#/.#/#.", ':': "./#/./#/.", '%': "#..#/..#./.#../#..#/....",
	'±': ".#./###/.#./.../###", '½': "#..#/#.#./#.../.##./..##", '→': "..#../...#./#####/...#./..#..", '\'': "#/#/././.",

	'A': ".##./#..#/####/#..#/#..#", 'B': "@##./#..#/###./#..#/@##.", 'C': ".###/#.../#.../#.../.###",
	'D': "@##./#..#/#..#/#..#/@##.", 'E': "####/#.../###./#.../####", 'F': "####/#.../###./#.../#...",
	'G': ".###/#.../#.##/#..#/.###", 'H': "#..#/#..#/####/#..#/#..#", 'I': "###/.#./.#./.#./###",
	'J': "..##/...#/...#/#..#/.##.", 'K': "#..#/#.#./##../#.#./#..#", 'L': "#.../#.../#.../#.../####",
	'M': "#...#/##.##/#.#.#/#...#/#...#", 'N': "#..#/##.#/#.##/#..#/#..#", 'O': ".###./#...#/#...#/#...#/.###.",
	'P': "###./#..#/###./#.../#...", 'Q': ".###./#...#/#.#.#/#..#./.##.#", 'R': "###./#..#/###./#.#./#..#",
	'S': ".###/#.../.##./...#/###.", 'T': "#####/..#../..#../..#../..#..", 'U': "#..#/#..#/#..#/#..#/.##.",
	'V': "#...#/#...#/.#.#./.#.#./..#..", 'W': "#...#/#...#/#.#.#/##.##/#...#", 'X': "#..#/#..#/.##./#..#/#..#",
	'Y': "#...#/.#.#./..#../..#../..#..", 'Z': "####/..#./.#../#.../####",

	'\ue000': "..#../.###./#####/#####/.###.", '\ue001': ".#./.#./###/###/###",

	'a': "..../###./.##@/#..#/.##@", 'b': "#.../###./#..#/#..#/###.", 'c': ".../.##/#../#../.##",
	'd': "...#/.###/#..#/#..#/.###", 'e': "..../.##./####/#.../.###", 'f': ".##/#../###/#../#..",
	'g': "..../.###/#..#/.###/##..", 'h': "#.../###./#..#/#..#/#..#", 'i': "#/./#/#/#",
	'j': ".#/../.#/.#/#.", 'k': "#../#.#/##./#.#/#.#", 'l': "#./#./#./#./.#",
	'm': "...../####./#.#.#/#.#.#/#.#.#", 'n': "..../###./#..#/#..#/#..#", 'o': "..../.##./#..#/#..#/.##.",
	'p': "..../###./#..#/###./#...", 'q': "..../.###/#..#/.###/...#", 'r': ".../#.#/##./#../#..",
	's': "..../.###/##../..##/###.", 't': "#../###/#../#../.##", 'u': "..../#..#/#..#/#..#/.###",
	'v': "...../#...#/.#.#./.#.#./..#..", 'w': "...../#...#/#.#.#/#.#.#/.#.#.", 'x': ".../#.#/.#./.#./#.#",
	'y': "..../#..#/#..#/.###/.##.", 'z': "..../####/..#./.#../####",
}

// Characters whose big form is a drop, in the smallest figures and in larger ones.
const (
	SmallDrop = "\ue000"
	Drop      = "\ue001"
)

// lowered are signs of formulas that are shown as the figures they stand for.
var lowered = map[rune]rune{'₀': '0', '₁': '1', '₂': '2', '₃': '3', '₄': '4', '₅': '5', '₆': '6', '₇': '7', '₈': '8', '₉': '9', '−': '-', '×': 'x', '’': '\''}

// wideOne is a 1 as wide as the other figures, in the range for private use.
const wideOne = '\ue0f1'

// Steady is a number whose figures are all of one width in big figures, so that those of a
// live display do not move from one reading to the next.
func Steady(number string) string { return strings.ReplaceAll(number, "1", string(wideOne)) }

func glyph(r rune) (string, bool) {
	if l, ok := lowered[r]; ok {
		r = l
	}
	g, ok := glyphs[r]
	return g, ok
}

// HasBlock reports whether every character of text has a big form.
func HasBlock(text string) bool {
	return text != "" && !strings.ContainsFunc(text, func(r rune) bool { _, ok := glyph(r); return !ok })
}
