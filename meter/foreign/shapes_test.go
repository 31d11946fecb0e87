package foreign_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
	"example.org/halfdrop/meter/foreign/heading"
)

// A curve whose end is known, its pH to a hundredth.
type curve struct{ v, ph []float64 }

func aceticCurve() (c curve) {
	for v := 0.0; v < 33; v += 0.5 {
		if v > 23.9 && v < 26.1 {
			for k := range 5 {
				c.add(v + 0.1*float64(k))
			}
			continue
		}
		c.add(v)
	}
	return c
}

func (c *curve) add(v float64) {
	c.v, c.ph = append(c.v, v), append(c.ph, math.Round(100*foreign.AceticAt(v))/100)
}

// rows writes a line a point.
func (c *curve) rows(head string, row func(i int, v, ph float64) string) string {
	var b strings.Builder
	b.WriteString(head)
	for i := range c.v {
		b.WriteString(row(i, c.v[i], c.ph[i]) + "\n")
	}
	return b.String()
}

func wide(text string) string {
	b := []byte{0xff, 0xfe}
	for _, u := range utf16.Encode([]rune(text)) {
		b = append(b, byte(u), byte(u>>8))
	}
	return string(b)
}

func comma(format string, a ...any) string {
	return strings.ReplaceAll(fmt.Sprintf(format, a...), ".", ",")
}

func thousand(x float64) string {
	if x < 1000 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%d,%03d", int(x+0.5)/1000, int(x+0.5)%1000)
}

// upward has the last row first, below a head.
func upward(rows, head string) string {
	list := strings.Split(strings.TrimSpace(rows), "\n")
	slices.Reverse(list)
	return head + strings.Join(list, "\n") + "\n"
}

// Every shape in which other programs and people leave a titration is read, and
// has its end where the amounts put it.
func TestShapesOfOthers(t *testing.T) {
	c := aceticCurve()
	turned := "V / mL"
	for _, v := range c.v {
		turned += fmt.Sprintf(",%.2f", v)
	}
	turned += "\npH"
	for _, p := range c.ph {
		turned += fmt.Sprintf(",%.2f", p)
	}
	each := func(i int) float64 {
		if i == 0 {
			return 0
		}
		return c.v[i] - c.v[i-1]
	}
	refilled := func(v float64) float64 {
		if v > 20 {
			return v - 20
		}
		return v
	}
	for name, tt := range map[string]struct {
		text  string
		notes string // one of the notes has it
	}{
		"V of a reagent":  {c.rows("V NaOH,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", v, p) }), "taken as mL"},
		"falling burette": {c.rows("Burette reading (mL);pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f;%.2f", 50-v, p) }), "left in the burette"},
		"burette from 1":  {c.rows("burette / mL\tpH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f\t%.2f", 1.35+v, p) }), "began at 1.35 mL"},
		"each row":        {c.rows("step,increment (mL),pH\n", func(i int, _, p float64) string { return fmt.Sprintf("%d,%.2f,%.2f", i, each(i), p) }), "its sum is used"},
		"refilled":        {c.rows("burette mL,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", refilled(v), p) }), "refilled once"},
		"refilled, not to 0": {c.rows("burette mL,pH\n", func(_ int, v, p float64) string {
			switch {
			case v == 20:
				return fmt.Sprintf("20.00,%.2f\n0.35,%.2f", p, p)
			case v > 20:
				return fmt.Sprintf("%.2f,%.2f", v-20+0.35, p)
			}
			return fmt.Sprintf("%.2f,%.2f", v, p)
		}), "refilled once, to 0.35 mL"},
		"falling, refilled": {c.rows("burette / mL,pH\n", func(_ int, v, p float64) string {
			if v > 20 {
				return fmt.Sprintf("%.2f,%.2f", 22-(v-20), p)
			}
			return fmt.Sprintf("%.2f,%.2f", 22-v, p)
		}), "refilled once, to 22 mL"},
		"falling, refilled, not to the mark": {c.rows("buret reading (mL);pH\n", func(_ int, v, p float64) string {
			switch {
			case v == 12:
				return fmt.Sprintf("%.2f;%.2f\n24.40;%.2f", 13.1-v, p, p)
			case v > 12:
				return fmt.Sprintf("%.2f;%.2f", 24.4-(v-12), p)
			}
			return fmt.Sprintf("%.2f;%.2f", 13.1-v, p)
		}), "refilled once, to 24.4 mL"},
		"falling, one below the other": {c.rows("burette mL,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", 50-v, p) }) +
			c.rows("", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", 50-v, p+0.1) }), "2 runs one below the other"},
		"side by side":   {c.rows("mL,pH,,mL,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f,,%.2f,%.2f", v, p, v, p+0.1) }), "2 runs side by side"},
		"on its side":    {turned, ""},
		"mV":             {c.rows("volume (mL),E (mV)\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.1f", v, (7-p)*59.16) }), "theoretical slope"},
		"values above":   {c.rows("c(NaOH) = 0.1000 mol/L\nSample volume: 25.00 mL\n\nmL\tpH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f\t%.2f", v, p) }), ""},
		"a row of units": {c.rows("Zeit;Volumen;pH-Wert\ns;mL;-\n", func(i int, v, p float64) string { return comma("%d;%.2f;%.2f", 20*i, v, p) }), ""},
		"units in cells": {c.rows("a,b\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f mL,%.2f pH", v, p) }), ""},
		"microlitres":    {c.rows("added_ul,ph\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.0f,%.2f", 1000*v, p) }), ""},
		"UTF-16":         {wide(c.rows("Volume (mL)\tpH\tTemp (°F)\r\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f\t%.2f\t77.0\r", v, p) })), ""},
		"bars":           {c.rows("| titrant (mL) | pH |\n|---|---|\n", func(_ int, v, p float64) string { return fmt.Sprintf("| %.2f | %.2f |", v, p) }), ""},
		"sum and each":   {c.rows("Volume added (mL),Total volume (mL),pH\n", func(i int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f,%.2f", each(i), v, p) }), ""},
		"drops":          {c.rows("drops,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.0f,%.2f", 20*v, p) }), "a drop is taken as 0.05 mL"},
		"cubic cm":       {c.rows("Volume of NaOH Added (cm³),pH reading\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", v, p) }), ""},
		"a wanted pH":    {c.rows("mL,target pH,pH,dpH/dV\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,7.00,%.2f,0.1", v, p) }), ""},
		"thousands":      {c.rows("Added (µL)\tpH\n", func(_ int, v, p float64) string { return thousand(1000*v) + fmt.Sprintf("\t%.2f", p) }), ""},
		"thousands, comma": {c.rows("Added (µL);pH\n", func(_ int, v, p float64) string {
			return strings.ReplaceAll(thousand(1000*v), ",", ".") + comma(";%.2f", p)
		}), ""},
		"commas in commas":      {c.rows("V (mL),pH\n", func(_ int, v, p float64) string { return comma("%.2f", v) + "," + comma("%.2f", p) }), "read as one number"},
		"rows counted":          {c.rows("mL pH\n", func(i int, v, p float64) string { return fmt.Sprintf("%d %.2f %.2f", i+1, v, p) }), "counts the rows"},
		"in quotes":             {c.rows("mL,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf(`="%.2f",="%.2f"`, v, p) }), ""},
		"from the bottom":       {upward(c.rows("", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", v, p) }), "NaOH added (mL),pH\n"), "from the bottom up"},
		"times from the bottom": {upward(c.rows("", func(i int, v, p float64) string { return fmt.Sprintf("%d,%.2f,%.2f", 30*i, v, p) }), "time (s),mL,pH\n"), "from the bottom up"},
		"one below the other": {c.rows("run;mL;pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("1;%.2f;%.2f", v, p) }) +
			c.rows("", func(_ int, v, p float64) string { return fmt.Sprintf("2;%.2f;%.2f", v, p+0.1) }), "2 runs one below the other"},
		"what is in the beaker": {c.rows("sample 25 mL\n\nTotal volume (mL),pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", 25+v, p) }), "counted from there"},
		"a unit above":          {c.rows("all volumes in µL\nV,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.0f,%.2f", 1000*v, p) }), "as a line above"},
		"dates with month": {c.rows("Date,Time,mL,pH\n", func(i int, v, p float64) string {
			return fmt.Sprintf("28/Apr/2026,%d:%02d:7 PM,%.2f,%.2f", 1+i/60, i%60, v, p)
		}), ""},
	} {
		t.Run(name, func(t *testing.T) {
			l, err := foreign.ReadLog(strings.NewReader(tt.text), foreign.LogOptions{})
			require.NoError(t, err)
			assert.Contains(t, strings.Join(l.Notes, "\n"), tt.notes)
			assert.NotContains(t, strings.Join(l.Notes, "\n"), "goes backwards")
			v := l.Review(fit.Options{SampleML: 25, Molar: 0.1})
			require.NotNil(t, v.Fit, v.NoFit)
			require.Len(t, v.Fit.Ends, 1, "%+v", v.Fit)
			assert.InDelta(t, 25, v.Fit.Ends[0].Value, 0.06, "%+v", v.Fit.Ends)
			assert.Less(t, math.Abs(v.Fit.Ends[0].Value-25), 4*v.Fit.Ends[0].SD)
		})
	}
}

// What the lines above a table say of strength and sample is used; what two of
// them say in two ways is not.
func TestValuesAboveTheTable(t *testing.T) {
	c := aceticCurve()
	for head, want := range map[string]heading.Known{
		"Sample Volume (ml)\t50\nTitrant normality\t0.1\n":                 {SampleML: 50, Molar: 0.1},
		"c(NaOH) = 0,0995 mol/L\nVorlage: 20 mL\n":                         {SampleML: 20, Molar: 0.0995, Base: true},
		"Titrant: H2SO4 0.05 M\nV0 = 100 mL\n":                             {SampleML: 100, Molar: 0.1, Acid: true},
		"titrant 50 mM HCl\naliquot taken 0.010 L\n":                       {SampleML: 10, Molar: 0.05, Acid: true},
		"Equivalent Volume (ml)\t0.59\nstandard 0.1 M\n":                   {},
		"NaOH 1.000e-1 mol/L\n":                                            {Molar: 0.1, Base: true},
		"NaOH 0.1000 ± 0.0002 M\n":                                         {Molar: 0.1, Base: true},
		"25 mL of 0.1 M acetic acid titrated with 0.0987 M NaOH\n":         {Molar: 0.0987, Base: true},
		"0.1 M acetic acid with NaOH\n":                                    {},
		"sample 3, 25 mL\nNaOH 0.1 mol dm^-3\n":                            {SampleML: 25, Molar: 0.1, Base: true},
		"c(NaOH) = 0.1 mol/L, factor f = 1.0250\n":                         {Molar: 0.1025, Base: true},
		"NaOH 0.1 M\nTiter: 0.9985\n":                                      {Molar: 0.09985, Base: true},
		"NaOH 0.0987 M\nTiter: 0.9870\n":                                   {Molar: 0.0987, Base: true},
		"Titer: 0.9985\n":                                                  {},
		"titre 12.5 mL\n":                                                  {},
		"acid strength 5 %\n":                                              {},
		"initial volume of burette 1.35 mL\nbeaker 250 mL\n":               {},
		"Sample: 10 mL diluted to 100 mL\n":                                {},
		"sample volume 10 mL\nsample volume 20 mL\nNaOH 0.1 M\nNaOH 1 M\n": {Base: true},
	} {
		l, err := foreign.ReadLog(strings.NewReader(head+"\n"+c.rows("mL\tpH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f\t%.2f", v, p) })), foreign.LogOptions{})
		require.NoError(t, err, head)
		l.Known.From = nil
		assert.InDelta(t, want.SampleML, l.Known.SampleML, 1e-9, head)
		assert.InDelta(t, want.Molar, l.Known.Molar, 1e-9, head)
		assert.Equal(t, [2]bool{want.Acid, want.Base}, [2]bool{l.Known.Acid, l.Known.Base}, head)
	}
}

// What only a person can say is asked, with the columns it may be.
func TestAmbiguousColumnsAreAsked(t *testing.T) {
	c := aceticCurve()
	for name, tt := range map[string]struct {
		text, quantity string
		choices        []string
		then           foreign.LogOptions // that reads it
	}{
		"two of pH":          {c.rows("mL,pH left,pH right\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f,%.2f", v, p, p) }), "ph", []string{"pH left", "pH right"}, foreign.LogOptions{Column: map[string]string{"ph": "pH right"}}},
		"two of volume":      {c.rows("base mL,acid mL,pH\n", func(i int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f,%.2f", v, 3+0.1*float64(i*i), p) }), "volume", []string{"base mL", "acid mL"}, foreign.LogOptions{Column: map[string]string{"volume": "base mL"}}},
		"time or volume":     {c.rows("", func(i int, _, p float64) string { return fmt.Sprintf("%d,%.2f", i, p) }), "volume", []string{"column 1"}, foreign.LogOptions{Column: map[string]string{"time": "1"}}},
		"several of mV":      {c.rows("mL,J1 (mV),J2 (mV)\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.1f,%.1f", v, 59*(7-p), 34.0) }), "mv", []string{"J1 (mV)", "J2 (mV)"}, foreign.LogOptions{Column: map[string]string{"mv": "J1 (mV)"}}},
		"no name of pH":      {c.rows("mL,pAg\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", v, p) }), "ph", []string{"pAg"}, foreign.LogOptions{Column: map[string]string{"ph": "2"}}},
		"a far first volume": {c.rows("V/mL,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", v+1.35, p) }), "volume", []string{"total", "rise"}, foreign.LogOptions{Volume: foreign.RiseVolume}},
		"in the beaker":      {c.rows("mL in beaker,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", v+25, p) }), "volume", []string{"total", "rise"}, foreign.LogOptions{Volume: foreign.RiseVolume}},
		"falling to 0":       {upward(c.rows("", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", v, p) }), "mL,pH\n"), "volume", []string{"total", "left", "each"}, foreign.LogOptions{Volume: foreign.TotalVolume}},
		"much for mL":        {c.rows("V,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.0f,%.2f", 1000*v, p) }), "volume", []string{"V in µL", "V in mL"}, foreign.LogOptions{Column: map[string]string{"volume": "V in µL"}}},
		"drops each":         {c.rows("drops,pH\n", func(i int, _, p float64) string { return fmt.Sprintf("%d,%.2f", min(i, 1)*10, p) }), "volume", foreign.VolumeKinds()[:3], foreign.LogOptions{Volume: foreign.EachVolume}},
		"up and down":        {c.rows("mL,pH\n", func(i int, _, p float64) string { return fmt.Sprintf("%.2f,%.2f", 1+float64(i%3), p) }), "volume", foreign.VolumeKinds()[:3], foreign.LogOptions{Volume: foreign.EachVolume}},
	} {
		t.Run(name, func(t *testing.T) {
			l, err := foreign.ReadLog(strings.NewReader(tt.text), foreign.LogOptions{})
			var q *foreign.Question
			require.ErrorAs(t, err, &q)
			assert.Equal(t, "--"+tt.quantity, strings.TrimSuffix(q.Flag, "-is"))
			assert.Equal(t, tt.choices, q.Choices)
			require.NotNil(t, l)
			assert.NotEmpty(t, l.Head, "the rows it is about")
			_, err = foreign.ReadLog(strings.NewReader(tt.text), tt.then)
			assert.NoError(t, err)
		})
	}
}

// Tables that are no titration with acid or base are read, and not fitted.
func TestNoCurveNoFit(t *testing.T) {
	c := aceticCurve()
	for name, tt := range map[string]struct{ text, why string }{
		"up and down": {c.rows("mL,pH\n", func(i int, v, _ float64) string { return fmt.Sprintf("%.2f,%.2f", v, 7+2*math.Sin(float64(i)/4+1.5)) }), "up and down"},
		"flat":        {c.rows("mL,pH\n", func(i int, v, _ float64) string { return fmt.Sprintf("%.2f,%.2f", v, 7+0.001*float64(i)) }), "moves by"},
		"silver":      {c.rows("mL,pH\n", func(_ int, v, _ float64) string { return fmt.Sprintf("%.2f,%.2f", v, 5+25*math.Tanh(4*(v-12))/5.1) }), ""},
	} {
		l, err := foreign.ReadLog(strings.NewReader(tt.text), foreign.LogOptions{})
		require.NoError(t, err, name)
		v := l.Review(fit.Options{SampleML: 25, Molar: 0.1})
		assert.Nil(t, v.Fit, name)
		assert.Contains(t, v.NoFit, tt.why, name)
		assert.NotEmpty(t, v.NoFit, name)
	}
}
