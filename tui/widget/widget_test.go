package widget_test

import (
	"math"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.org/halfdrop/tui/widget"
)

func plain(_ widget.Ink, text string) string { return text }

// sets are the three kinds of terminal.
var sets = map[string]*widget.Set{"unicode": &widget.Unicode, "console": &widget.Console, "ascii": &widget.ASCII}

func TestBlockDigits(t *testing.T) {
	assert.Equal(t, []string{"▀▀▀▙ ▀▀▀▄", " ▀█▘ ▄▀▀ ", "  ▀  ▝▀▀▀"}, widget.BlockDigits("72", widget.Small, &widget.Unicode))
	assert.Equal(t, []string{"▀▀▀█ ▀▀▀▄", " ▀█▀ ▄▀▀ ", "  ▀  ▀▀▀▀"}, widget.BlockDigits("72", widget.Small, &widget.Console), "no quarters there")
	assert.Equal(t, []string{" ## ", "#  #", " ## ", "#  #", " ## "}, widget.BlockDigits("8", widget.Small, &widget.ASCII))
	for name, set := range sets {
		for _, scale := range []widget.Scale{widget.Small, widget.Tall, widget.Medium, widget.High, widget.Large, widget.Huge, widget.Giant} {
			for _, text := range []string{"WAIT", "ADD", "STOP", "CHECK", "GIVEN?", "0123456789", "12.034", "-.--", "+1", "NaOH 0.1 mM", "H₂SO₄"} {
				rows := widget.BlockDigits(text, scale, set)
				assert.Len(t, rows, scale.Rows(set), "%s %q", name, text)
				for _, r := range rows {
					assert.Equal(t, widget.BlockWidth(text, scale), lipgloss.Width(r), "%s %q", name, text)
				}
			}
		}
	}
	assert.Equal(t, 0, widget.BlockWidth("é", widget.Small))
	assert.True(t, widget.HasBlock("Tris base 0.5 M (2–3 %) H₃PO₄"))
	assert.False(t, widget.HasBlock("Säure"))
	assert.False(t, widget.HasBlock(""))
}

// TestDigitsDiffer: no two figures or letters look the same at the smallest size.
func TestDigitsDiffer(t *testing.T) {
	for name, set := range sets {
		seen := map[string]rune{}
		for _, d := range "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz" {
			look := strings.Join(widget.BlockDigits(string(d), widget.Small, set), "\n")
			assert.Zero(t, seen[look], "%s: %c", name, d)
			seen[look] = d
		}
	}
}

func TestBar(t *testing.T) {
	assert.Equal(t, "[####....]", widget.Bar(0.5, 10, &widget.ASCII))
	assert.Equal(t, "▕████▌···▏", widget.Bar(0.5625, 10, &widget.Unicode))
	assert.Equal(t, "[........]", widget.Bar(math.NaN(), 10, &widget.ASCII))
	assert.Equal(t, "[########]", widget.Bar(7, 10, &widget.ASCII))
	assert.Empty(t, widget.Bar(0.5, 2, &widget.ASCII))
}

func TestText(t *testing.T) {
	set := &widget.Unicode
	assert.Equal(t, "a long li…", widget.Fit("a long line", 10, set))
	assert.Equal(t, "a long ...", widget.Fit("a long line", 10, &widget.ASCII))
	assert.Equal(t, "", widget.Fit("abc", 0, set))
	assert.Equal(t, []string{"one two", "three"}, widget.Wrap("one two three", 8, 3, set))
	assert.Equal(t, []string{"one two", "three f…"}, widget.Wrap("one two three four five", 8, 2, set))
	assert.Equal(t, []string{"ab…"}, widget.Wrap("abcdef", 3, 2, set))
	assert.Nil(t, widget.Wrap("one", 0, 2, set))
	assert.Equal(t, "longer", widget.FirstFit(6, set, "too long a text", "longer", "s"))
	assert.Equal(t, "+/-0.02 at 4 C -> x", widget.ASCII.Text("±0.02 at 4 °C → x"))
	assert.Equal(t, "?", widget.ASCII.Text("水"))
}

func TestNumber(t *testing.T) {
	assert.Equal(t, "7.10", widget.Number(7.1, 2))
	assert.Equal(t, "0.00", widget.Number(-0.001, 2))
	assert.Equal(t, "0", widget.Number(math.Copysign(0, -1), 0))
	assert.Equal(t, "-0.01", widget.Number(-0.01, 2))
}

// TestLaneZooms: the nearer the reading, the narrower the scale; the aim, the
// reading and the landing are always on it.
func TestLaneZooms(t *testing.T) {
	last := math.Inf(1)
	for _, now := range []float64{2, 4, 5.5, 6.5, 7, 7.1, 7.15, 7.18, 7.19} {
		l := widget.Lane{Aim: 7.19, Tolerance: 0.02, HasNow: true, Now: now}
		lo, hi := l.Window()
		assert.LessOrEqual(t, hi-lo, last+1e-9, now)
		assert.Less(t, lo, now)
		assert.Greater(t, hi, 7.21)
		last = hi - lo
	}
	assert.InDelta(t, 0.12, last, 1e-9, "six times the tolerance")
	past := widget.Lane{Aim: 7.19, Tolerance: 0.02, HasNow: true, Now: 7.4, HasLanding: true, Low: 7.17, After: 7.2, High: 7.23}
	lo, hi := past.Window()
	assert.Less(t, lo, 7.17)
	assert.Greater(t, hi, 7.4)
}

func lane(l widget.Lane, w int, set *widget.Set) []string {
	s := widget.NewSheet(w, widget.LaneRows)
	l.Draw(s, widget.Rect{W: w, H: widget.LaneRows}, set)
	return s.Lines(plain)
}

func TestLane(t *testing.T) {
	l := widget.Lane{Aim: 7.19, Tolerance: 0.02, HasNow: true, Now: 7.12, Settled: true, Decimals: 2, AimDigits: 2, LandDigits: 2,
		HasLanding: true, Low: 7.145, After: 7.16, High: 7.169}
	assert.Equal(t, []string{
		"         now 7.12         lands 7.14-7.17   aim 7.19",
		"---+---------@-----------<.......*...>[=========+=========]--",
		" 7.10                     7.15                     7.20",
	}, lane(l, 61, &widget.ASCII))
}

// TestAnyLaneAndPlot: whatever the numbers, nothing leaves the rectangle.
func TestAnyLaneAndPlot(t *testing.T) {
	ph := rapid.OneOf(rapid.Float64Range(-2, 16), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 0, 7}))
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(0, 90).Draw(t, "w"), rapid.IntRange(0, 20).Draw(t, "h")
		set := rapid.SampledFrom([]*widget.Set{&widget.Unicode, &widget.Console, &widget.ASCII}).Draw(t, "set")
		l := widget.Lane{Aim: ph.Draw(t, "aim"), Tolerance: rapid.Float64Range(0, 0.5).Draw(t, "tol"), HasNow: rapid.Bool().Draw(t, "has"),
			Now: ph.Draw(t, "now"), HasLanding: rapid.Bool().Draw(t, "lands"), Low: ph.Draw(t, "low"), After: ph.Draw(t, "after"), High: ph.Draw(t, "high"), Decimals: 2}
		p := widget.Plot{Aim: l.Aim, Tolerance: l.Tolerance, AimText: "aim 7.19 ±0.02", XLabel: "mL NaOH 1 M", YLabel: "pH"}
		for range rapid.IntRange(0, 20).Draw(t, "n") {
			y := ph.Draw(t, "y")
			p.Curve = append(p.Curve, widget.CurvePoint{X: rapid.Float64Range(-1, 1e3).Draw(t, "x"), Y: y, Low: y - 0.1, High: y + 0.1})
			p.Points = append(p.Points, widget.Point{X: ph.Draw(t, "px"), Y: ph.Draw(t, "py")})
		}
		p.Landing = &widget.CurvePoint{X: ph.Draw(t, "lx"), Y: l.After, Low: l.Low, High: l.High}
		s := widget.NewSheet(100, 30)
		l.Draw(s, widget.Rect{X: 5, Y: 1, W: w, H: min(h, 3)}, set)
		p.Draw(s, widget.Rect{X: 5, Y: 5, W: w, H: h}, set)
		for y, row := range s.Lines(plain) {
			if lipgloss.Width(row) > 5+w {
				t.Fatalf("row %d leaves the rectangle of %d: %q", y, w, row)
			}
		}
	})
}

// TestPlotMarksOnCurve: a measured point stands in the cell of the curve.
func TestPlotMarksOnCurve(t *testing.T) {
	p := widget.Plot{Aim: 7, Tolerance: 0.02, Points: []widget.Point{{X: 5, Y: 5}, {X: 10, Y: 6}}}
	for i := range 21 {
		x := float64(i)
		p.Curve = append(p.Curve, widget.CurvePoint{X: x, Y: 4 + x/5, Low: 4 + x/5, High: 4 + x/5})
	}
	s := widget.NewSheet(60, 12)
	p.Draw(s, widget.Rect{W: 60, H: 12}, &widget.Unicode)
	rows := s.Lines(plain)
	at := func(x, y int) rune { return append([]rune(rows[y]), make([]rune, 60)...)[x] }
	dots := func(x, y int) bool { return at(x, y) >= '⠀' && at(x, y) <= '⣿' }
	marks := 0
	for y := 1; y < 9; y++ {
		for x := 7; x < 59; x++ {
			if m := at(x, y); m == '○' || m == '●' {
				marks++
				assert.True(t, dots(x-1, y) || dots(x-1, y+1), "the curve comes into the mark from the left or below: %q", rows[y])
				assert.True(t, dots(x+1, y) || dots(x+1, y-1), "and leaves it to the right or upwards: %q", rows[y])
			}
		}
	}
	assert.Equal(t, 2, marks)
}

func TestSheetWide(t *testing.T) {
	s := widget.NewSheet(6, 1)
	assert.Equal(t, 4, s.Put(0, 0, widget.Plain, "緩衝"))
	s.Put(4, 0, widget.Plain, "液x")
	assert.Equal(t, "緩衝液", s.Lines(plain)[0])
	s.Put(5, 0, widget.Plain, "水")
	assert.LessOrEqual(t, lipgloss.Width(s.Lines(plain)[0]), 6)
}

func TestRect(t *testing.T) {
	r := widget.Rect{W: 10, H: 4}
	top, rest := r.CutTop(9)
	assert.Equal(t, widget.Rect{W: 10, H: 4}, top)
	assert.True(t, rest.Empty())
	left, right := r.CutRight(3)
	assert.Equal(t, widget.Rect{W: 7, H: 4}, left)
	assert.Equal(t, widget.Rect{X: 7, W: 3, H: 4}, right)
	_, rest = r.CutLeft(-1)
	assert.Equal(t, r, rest)
}

func BenchmarkPlot(b *testing.B) {
	p := widget.Plot{Aim: 7, Tolerance: 0.02}
	for i := range 161 {
		x := float64(i) / 8
		p.Curve = append(p.Curve, widget.CurvePoint{X: x, Y: 4 + x/5, Low: 3.8 + x/5, High: 4.2 + x/5})
	}
	s := widget.NewSheet(80, 20)
	for b.Loop() {
		p.Draw(s, widget.Rect{W: 80, H: 20}, &widget.Unicode)
	}
}

// Words keep their sense where the font lacks their signs.
func TestWordsInPlainerLetters(t *testing.T) {
	const words = "CO₂, H⁺/OH⁻, pKa′, “so”, ΔpH½, 10⁻³, 5 µL"
	assert.Equal(t, "CO2, H+/OH-, pKa', \"so\", dpH1/2, 10-3, 5 uL", widget.ASCII.Text(words))
	assert.Equal(t, "CO2, H+/OH-, pKa', \"so\", dpH½, 10-3, 5 µL", widget.Console.Text(words))
	assert.Equal(t, words, widget.Unicode.Text(words))
}

// A negative number has a minus as long as a plus, where the terminal has one; a date, a
// key and a range keep their hyphen.
func TestMinusOfNumbers(t *testing.T) {
	for words, want := range map[string]string{"-0.9 mV": "−0.9 mV", "+400 to -400": "+400 to −400", "(-5)": "(−5)",
		"2026-11-25": "2026-11-25", "+ - faster": "+ - faster", "2-propanol": "2-propanol", "0-9": "0-9", "Ctrl-Z": "Ctrl-Z"} {
		assert.Equal(t, want, widget.Unicode.Text(words))
		assert.Equal(t, words, widget.ASCII.Text(words))
	}
}

// TestSquareCorners: a D is square at the left and round at the right, where an O is round.
func TestSquareCorners(t *testing.T) {
	for _, scale := range []widget.Scale{widget.Tall, widget.Medium, widget.Large, widget.Giant} {
		for _, letter := range []string{"D", "B"} {
			rows := widget.BlockDigits(letter, scale, &widget.Unicode)
			first, last := []rune(rows[0]), []rune(rows[len(rows)-1])
			assert.Contains(t, "█▀", string(first[0]), "%s at %v:\n%s", letter, scale, strings.Join(rows, "\n"))
			assert.Contains(t, "█▀", string(last[0]), "%s at %v:\n%s", letter, scale, strings.Join(rows, "\n"))
		}
		o := []rune(widget.BlockDigits("O", scale, &widget.Unicode)[0])
		assert.NotEqual(t, '█', o[0])
	}
}

// At 80×24 the bottle in big letters stands right below the order: half a row is free
// between the two.
func TestBigLettersOnTheFloorOfTheirRowsLeaveTheTopFree(t *testing.T) {
	for _, scale := range []widget.Scale{widget.Small, widget.Large} {
		high, low := widget.BlockDigits("NaOH", scale, &widget.Unicode), widget.BlockDigitsLow("NaOH", scale, &widget.Unicode)
		assert.Len(t, low, len(high))
		assert.Contains(t, high[0], "█")
		assert.NotContains(t, low[0], "▀")
		assert.NotContains(t, low[0], "█")
	}
	for _, set := range sets {
		assert.Equal(t, widget.BlockDigits("NaOH", widget.Medium, set), widget.BlockDigitsLow("NaOH", widget.Medium, set), "no half row is free")
	}
	assert.Equal(t, widget.BlockDigits("NaOH", widget.Small, &widget.ASCII), widget.BlockDigitsLow("NaOH", widget.Small, &widget.ASCII))
}

// An a that is an o but for a rounded corner read NoOH from two metres.
func TestAnAIsNoO(t *testing.T) {
	a, o := widget.BlockDigits("a", widget.Tall, &widget.ASCII), widget.BlockDigits("o", widget.Tall, &widget.ASCII)
	apart := 0
	for y := range a {
		for x := range a[y] {
			if a[y][x] != o[y][x] {
				apart++
			}
		}
	}
	assert.Greater(t, apart, 4, "%q against %q", a, o)
}

// TestTheLaneTurnsBeforeItWidens: a reading at the edge of the tolerance is shown at the
// scale of one at the aim.
func TestTheLaneTurnsBeforeItWidens(t *testing.T) {
	wide := func(now float64, down bool) float64 {
		lo, hi := widget.Lane{Aim: 7, Tolerance: 0.02, Down: down, HasNow: true, Now: now}.Window()
		return hi - lo
	}
	for _, down := range []bool{false, true} {
		for _, now := range []float64{6.98, 6.983, 7.017, 7.02} {
			assert.InDelta(t, wide(7, down), wide(now, down), 1e-9, "%g", now)
		}
	}
}

// TestTheAimIsNamedWhereNoPointIs: of a beaker that nobody weighed the curve begins at the
// last point, which may be past the aim; the points before it stand on the other side.
func TestTheAimIsNamedWhereNoPointIs(t *testing.T) {
	p := widget.Plot{Aim: 7.3, Tolerance: 0.03, AimText: "aim", XLabel: "mmol", YLabel: "pH",
		Points: []widget.Point{{X: 0, Y: 4.8}, {X: 0.1, Y: 5.8}, {X: 0.2, Y: 6.1}, {X: 3.2, Y: 7.57}}}
	for x := 3.2; x < 4; x += 0.05 {
		p.Curve = append(p.Curve, widget.CurvePoint{X: x, Y: x + 4.37, Low: x + 4.36, High: x + 4.38})
	}
	s := widget.NewSheet(44, 9)
	p.Draw(s, widget.Rect{W: 44, H: 9}, &widget.Unicode)
	rows := strings.Split(s.Painted(), "\n")
	for i, row := range rows {
		if strings.Contains(row, "aim") {
			assert.NotContains(t, row, "○", "%s", strings.Join(rows, "\n"))
			assert.Contains(t, rows[i+1], "╌")
		}
	}
}

// TestTheAxisIsNamedWhereNoPointIs: the first readings of a beaker that nobody weighed stand in
// the lowest row, and one of them in the name of the axis: "mmol ti○rant".
func TestTheAxisIsNamedWhereNoPointIs(t *testing.T) {
	for last := 0.05; last < 1; last += 0.05 {
		p := widget.Plot{Aim: 7.4, Tolerance: 0.05, AimText: "aim", XLabel: "mmol titrant", YLabel: "pH",
			Points: []widget.Point{{X: 0, Y: 6.07}, {X: last / 4, Y: 6.08}, {X: last, Y: 6.13}}}
		for x := last; x < 1.3; x += 0.05 {
			p.Curve = append(p.Curve, widget.CurvePoint{X: x, Y: 6.13 + x - last, Low: 6.1 + x - last, High: 6.2 + x - last})
		}
		s := widget.NewSheet(44, 9)
		p.Draw(s, widget.Rect{W: 44, H: 9}, &widget.Unicode)
		assert.Contains(t, s.Painted(), "mmol titrant", "%g\n%s", last, s.Painted())
	}
}
