package frame_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
)

// inputs is how many made-up lines to read: a million, or a fraction of that
// unless HALFDROP_LONG is set.
func inputs(t *testing.T) int {
	if os.Getenv("HALFDROP_LONG") != "" {
		return 1_000_000
	}
	const few = 30_000
	t.Logf("SHORTENED: %d lines; set HALFDROP_LONG=1 for a million", few)
	return few
}

// maker makes lines of which it knows what they say.
type maker struct{ *rand.Rand }

func (m maker) pick(list ...string) string { return list[m.IntN(len(list))] }

// number is a number in one of the forms that instruments use.
func (m maker) number() string {
	v := m.Float64() * math.Pow10(m.IntN(5)-1)
	if m.IntN(4) == 0 {
		v = -v
	}
	return fmt.Sprintf(m.pick("%.2f", "%.1f", "%.3f", "%.0f", "%+.2f", "%06.2f", "%.2E"), v)
}

func (m maker) separator() string { return m.pick(",", ";", "\t", " ", "  ", "|", ", ") }

// bare is a line of two numbers or more that nobody has named, with what may
// stand around them.
func (m maker) bare() string {
	sep := m.separator()
	var cells []string
	for range 2 + m.IntN(4) {
		cells = append(cells, m.number())
	}
	line := strings.Join(cells, sep)
	switch m.IntN(6) {
	case 0:
		line = "2026-11-25 10:15:03" + sep + line
	case 1:
		line += sep + m.pick("stable", "ATC", "*", "unstable")
	case 2:
		line = m.pick("> ", "#3 ", "CH1 ", "\f", "MEAS ") + line
	}
	if m.IntN(5) == 0 {
		line = strings.NewReplacer(".", ",").Replace(line)
	}
	return line
}

// named is a line with a pH that is called so, and maybe a temperature, a
// potential and other quantities, all of them called something.
func (m maker) named() (line string, ph, temp float64) {
	ph, temp = math.Round((2+10*m.Float64())*100)/100, math.NaN()
	parts := []string{m.pick(fmt.Sprintf("pH %.2f", ph), fmt.Sprintf("pH=%.2f", ph), fmt.Sprintf("pH: %.2f", ph))}
	if m.IntN(2) == 0 {
		temp = math.Round((1+58*m.Float64())*10) / 10
		parts = append(parts, m.pick(fmt.Sprintf("T=%.1fC", temp), fmt.Sprintf("Temp: %.1f C", temp), fmt.Sprintf("(%.1f °C)", temp)))
	}
	if m.IntN(3) == 0 {
		parts = append(parts, fmt.Sprintf("mV=%.1f", 400*m.Float64()-200))
	}
	if m.IntN(3) == 0 {
		parts = append(parts, m.pick("ORP: 215 mV", "EC: 1.413 mS/cm", "slope: 95.2 %", "DO=8.21 mg/L", "ID:12"))
	}
	if m.IntN(2) == 0 {
		m.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
	}
	return strings.Join(parts, m.pick("; ", " ", ", ", "\t")), ph, temp
}

// junk is bytes of any kind, some of them like a line.
func (m maker) junk() []byte {
	b := make([]byte, m.IntN(40))
	for i := range b {
		if b[i] = byte(m.IntN(256)); m.IntN(3) > 0 {
			b[i] = "0123456789.,;: pHmVCT+-\t()*"[m.IntN(27)]
		}
	}
	return b
}

var (
	namesPH  = regexp.MustCompile(`(?i)ph|mv`)
	oneComma = regexp.MustCompile(`^[^\d]*[+-]?\d+,\d+[^\d]*$`)
	anyNum   = regexp.MustCompile(`\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?`)
	whens    = regexp.MustCompile(`T?\d\d?:\d\d(?::\d\d(?:[.,]\d{1,6})?)?(?:Z|[+-]\d\d:?\d\d)?|\d{1,4}[-/.]\d\d?[-/.]\d{1,4}`)
)

// A million lines, made up in three ways: none panics, two bare numbers are never
// a reading, what is named is read as what it is called or not at all, and of
// junk nothing is a reading that says neither pH nor mV and holds two numbers.
func TestAMillionLines(t *testing.T) {
	m := maker{rand.New(rand.NewPCG(18, 4))}
	var bare, bareRead, named, namedRead, wrong, junk, junkRead int
	for range inputs(t) {
		switch m.IntN(3) {
		case 0:
			bare++
			line := m.bare()
			if oneComma.MatchString(strings.NewReplacer("CH1", "", "#3", "", "2026-11-25 10:15:03", "").Replace(line)) {
				continue // "4,46" is a number with a decimal comma
			}
			if r, err := frame.Read([]byte(line)); err == nil {
				bareRead++
				require.Failf(t, "taken for a reading", "%q as %+v", line, r.Reading)
			}
		case 1:
			named++
			line, ph, temp := m.named()
			r, err := frame.Read([]byte(line))
			if err != nil {
				continue
			}
			namedRead++
			got := math.NaN()
			if r.Reading.HasTemp {
				got = r.Reading.TempC
			}
			if r.Reading.Value != ph || !same(got, temp) {
				wrong++
				require.Failf(t, "another value", "%q as %+v", line, r.Reading)
			}
		default:
			junk++
			line := m.junk()
			r, err := frame.Read(line)
			if err != nil {
				continue
			}
			junkRead++
			text := r.Reading.Raw
			if !namesPH.MatchString(text) {
				left := whens.ReplaceAllString(text, "")
				require.LessOrEqual(t, len(anyNum.FindAllString(left, -1)), 1+strings.Count(strings.ToUpper(left), "C")+strings.Count(left, "#")+strings.Count(left, "%"), "%q as %+v", text, r.Reading)
			}
			v := r.Reading
			require.True(t, !v.Usable() || v.Quantity == meter.Millivolt || v.Value >= frame.MinPH && v.Value <= frame.MaxPH)
			require.False(t, v.HasTemp && (v.TempC < frame.MinTemp || v.TempC > frame.MaxTemp))
		}
	}
	t.Logf("%d lines of bare numbers, %d read; %d named, %d read, %d of them wrongly; %d of junk, %d read", bare, bareRead, named, namedRead, wrong, junk, junkRead)
	require.Greater(t, namedRead, named*9/10)
}

// FuzzJudge: whatever comes in whatever order, a judge hands on no reading that
// is out of range, no temperature outside of a beaker's, and nothing of two
// channels; it neither panics nor loops.
func FuzzJudge(f *testing.F) {
	for _, s := range []string{
		"1.250 7.02\n1.252 7.02", "7.020E-03", "7.02,-1.2", "7.02,77.2", "20.5,7.02\n21.5,7.02\n22.5,7.02", "CH1 7.02\nCH2 6.50\nCH1 7.02\nCH2 6.50",
		"CALIBRATION\npH 7.00 25.0 C\npH 4.01 25.0 C", "T 20.5 pH 7.02\nT 21.5 pH 7.02", "25-Nov-2026 pH 7.02", "7.02 pH 95.2%", "7.02 pH*5A", "> 7.02", "\f7.02", "\x117.02\x13",
		"7.02\x00\x00", "\x027.02\x03\x027.02\x03", "7.02;7.03;", "pH 7.02 (25.1 C)", "* 7.02 pH", "/A/ 7.02 pH", "MEAS pH 7.02", "ID:12 pH:7.02", "7.02 pH 77.2 F", "7.02 pH 298 K",
		"pH 7,02 Température 25,1 °C", "7.02 -1.2 25.1", "7.02 pH 215 mV ORP", "5.24,70.7", "1,7.02,pH\n2,6.50,pH\n1,7.02,pH",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var j guard.Judge
		var r frame.Reader
		channels := map[string]bool{}
		for i, line := range strings.Split(text, "\n") {
			res, err := r.Read([]byte(line))
			res, err = j.Take(start.Add(time.Duration(i)*time.Second), res, err)
			if err != nil {
				require.NotEmpty(t, guard.Remedy(err))
				_ = j.Worth([]byte(line), err)
				continue
			}
			v := res.Reading
			require.True(t, !v.Usable() || v.Quantity == meter.Millivolt || v.Value >= frame.MinPH && v.Value <= frame.MaxPH)
			require.False(t, v.HasTemp && (v.TempC < frame.MinTemp || v.TempC > frame.MaxTemp))
			if v.Channel != "" {
				channels[v.Channel] = true
			}
		}
		require.LessOrEqual(t, len(channels), 1)
	})
}
