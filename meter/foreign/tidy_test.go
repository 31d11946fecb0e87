package foreign_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
)

// What instruments and spreadsheets put among the rows is told from them: each of these
// tables has its end at 25 mL, and was misread without a word, or asked about, before.
func TestRowsThatAreNone(t *testing.T) {
	c := aceticCurve()
	plain := c.rows("", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f", v, p) })
	last, mean := c.v[len(c.v)-1], 0.0
	for _, p := range c.ph {
		mean += p / float64(len(c.ph))
	}
	settling := "time_s,V_NaOH_mL,pH\n" // five readings after each addition, the first before it shows
	for i, was := 0, c.ph[0]; i < len(c.v); i++ {
		for k := range 5 {
			note := ""
			if k == 0 {
				note = fmt.Sprintf("%.2f", c.v[i])
			}
			settling += fmt.Sprintf("%d,%s,%.2f\n", 25*i+5*k, note, c.ph[i]-(c.ph[i]-was)*math.Exp(-1.5*float64(k)))
		}
		was = c.ph[i]
	}
	for name, tt := range map[string]struct{ text, notes string }{
		"forms of time as units": {c.rows("Zeit;Volumen;pH-Wert\n[hh:mm:ss];[mL];[-]\n", func(i int, v, p float64) string { return comma("09:%02d:00;%.2f;%.2f", i, v, p) }), ""},
		"pages": {c.rows("", func(i int, v, p float64) string {
			head := ""
			if i%12 == 0 {
				head = fmt.Sprintf("Page %d   Titration 44\n  No   V/mL   pH   T/C\n", i/12+1)
			}
			return head + fmt.Sprintf("%4d  %.2f  %.2f  24.8", i+1, v, p)
		}), "no row of numbers"},
		"sums at the foot": {c.rows("V (mL),pH,dV\n", func(i int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f,%.2f", v, p, v-c.v[max(i-1, 0)]) }) +
			fmt.Sprintf("%.2f,%.2f,%.2f\n", last, mean, last), "sums up the rows"},
		"a calibration above": {"Calibration\nbuffer,mV\n4.01,176.2\n7.00,0.4\n10.01,-175.8\n\nTitration\nmL,pH\n" + plain, "another table, of 3 rows from line 3 on"},
		"a calibration below": {"mL,pH\n" + plain + "\nbuffer,mV\n4.01,176.2\n7.00,0.4\n10.01,-175.8\n", fmt.Sprintf("another table, of 3 rows from line %d on", len(c.v)+4)},
		"a comment as head":   {c.rows("% V_ml pH\n", func(_ int, v, p float64) string { return fmt.Sprintf(" %.4E %.4E", v, p) }), ""},
		"a mark at the head":  {c.rows("#mL pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f %.2f", v, p) }), ""},
		"marks of rest": {c.rows("V mL,pH\n", func(i int, v, p float64) string {
			return fmt.Sprintf("%.2f,%.2f%s", v, p, []string{"", " ok", "*", " drift"}[i%4])
		}), ""},
		"blanks in thousands": {c.rows("Zugabe (µL);pH\n", func(_ int, v, p float64) string {
			return strings.Replace(thousand(1000*v), ",", "\u00a0", 1) + comma(";%.2f", p)
		}), ""},
		"apostrophes in thousands": {c.rows("Zugabe (µL);pH\n", func(_ int, v, p float64) string {
			return strings.Replace(thousand(1000*v), ",", "'", 1) + fmt.Sprintf(";%.2f", p)
		}), ""},
		"spreads in the cells": {c.rows("V (mL);pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f ± 0.02;%.2f +/- 0.01", v, p) }), ""},
		"figures at the foot": {c.rows("V (mL),pH,slope\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f,0.1", v, p) }) +
			fmt.Sprintf("Minimum,%.2f,0.1\nMean,%.2f,0.1\nEP1,25.0,8.7\nResult,0.1,mol/L\n", c.ph[0], mean), fmt.Sprintf("lines %d, %d, %d, %d: no row of numbers", len(c.v)+2, len(c.v)+3, len(c.v)+4, len(c.v)+5)},
		"Latin-1":                 {strings.ReplaceAll(c.rows("Größe;Zugabe / µL;pH\n", func(i int, v, p float64) string { return fmt.Sprintf("%d;%.0f;", i, 1000*v) + comma("%.2f", p) }), "µ", "\xb5"), ""},
		"run by run":              {c.rows("run,mL,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("A,%.2f,%.2f\nB,%.2f,%.2f", v, p, 0.7*v, p+0.2) }), `2 runs told apart by "run"`},
		"names over two lines":    {c.rows("\"Volume\n(mL)\"\t\"pH\n(25 °C)\"\t\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f\t%.2f\t", v, p) }), ""},
		"V1, pH1, V2, pH2":        {c.rows("V1,pH1,V2,pH2\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.2f,%.2f,%.2f,%.2f", v, p, v, p) }), "2 runs side by side"},
		"in no order":             {"mL,pH\n" + shuffledRows(plain), "in no order"},
		"noted when it was given": {settling, "where it was given, not where it was read"},
	} {
		t.Run(name, func(t *testing.T) {
			text := tt.text
			if name == "Latin-1" { // all of it
				text = strings.NewReplacer("ö", "\xf6", "ß", "\xdf").Replace(text)
			}
			l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
			require.NoError(t, err)
			assert.Contains(t, strings.Join(l.Notes, "\n"), tt.notes)
			if name == "names over two lines" {
				assert.Equal(t, map[string]string{"volume": "Volume (mL)", "ph": "pH (25 °C)"}, l.Columns)
			}
			v := l.Review(fit.Options{SampleML: 25, Molar: 0.1})
			require.NotNil(t, v.Fit, v.NoFit)
			require.Len(t, v.Fit.Ends, 1, "%+v", v.Fit)
			assert.InDelta(t, 25, v.Fit.Ends[0].Value, 0.06, "%+v", v.Fit.Ends)
		})
	}
}

func shuffledRows(rows string) string {
	list := strings.Split(strings.TrimSpace(rows), "\n")
	r := rand.New(rand.NewPCG(1, 2))
	r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return strings.Join(list, "\n") + "\n"
}

// A volume that is noted where it was read stays there, also where the first addition moves
// the pH little: the titrant is given after each note.
func TestVolumesNotedWhereTheyWereRead(t *testing.T) {
	c := aceticCurve()
	text := "time_s,V_NaOH_mL,pH\n"
	for i := range c.v {
		text += fmt.Sprintf("%d,%.2f,%.2f\n", 20*i, c.v[i], c.ph[i])
		for k := 1; k < 4 && i+1 < len(c.v); k++ {
			text += fmt.Sprintf("%d,,%.2f\n", 20*i+5*k, c.ph[i+1]-(c.ph[i+1]-c.ph[i])*math.Exp(-1.5*float64(k)))
		}
	}
	l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
	require.NoError(t, err)
	v := l.Review(fit.Options{SampleML: 25, Molar: 0.1})
	require.NotNil(t, v.Fit, v.NoFit)
	require.Len(t, v.Fit.Ends, 1)
	assert.InDelta(t, 25, v.Fit.Ends[0].Value, 0.06)
}

// Titrant that runs on leaves a volume where it is noted, too.
func TestVolumesOfTitrantThatRunsOn(t *testing.T) {
	c := aceticCurve()
	text := "time_s,V_NaOH_mL,pH\n"
	for i := range c.v {
		for k := 0; k < 4 && i+1 < len(c.v); k++ {
			note := ""
			if k == 0 {
				note = fmt.Sprintf("%.2f", c.v[i])
			}
			moved := float64(k) / 4
			if i == 0 { // the first mark was noted before the tap was open
				moved = 0
			}
			text += fmt.Sprintf("%d,%s,%.3f\n", 20*i+5*k, note, c.ph[i]+(c.ph[i+1]-c.ph[i])*moved)
		}
	}
	l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
	require.NoError(t, err)
	v := l.Review(fit.Options{SampleML: 25, Molar: 0.1})
	require.NotNil(t, v.Fit, v.NoFit)
	require.Len(t, v.Fit.Ends, 1)
	assert.InDelta(t, 25, v.Fit.Ends[0].Value, 0.06)
}

// Remarks that name quantities, and a column that changes in the middle, leave a titration
// whole.
func TestRemarksLeaveATableWhole(t *testing.T) {
	c := aceticCurve()
	half := len(c.v) / 2
	for name, text := range map[string]string{
		"one cell": c.rows("t (s),mL,pH\n", func(i int, v, p float64) string {
			line := fmt.Sprintf("%d,%.2f,%.2f", 30*i, v, p)
			if i == half {
				return "pH meter restarted,,\n" + line
			}
			return line
		}),
		"two cells": c.rows("mL;pH;\n", func(i int, v, p float64) string {
			line := fmt.Sprintf("%.2f;%.2f;", v, p)
			if i == half {
				return "temp 24;pH probe rinsed;\nstirrer;temp changed;\n" + line
			}
			return line
		}),
		"a set speed": c.rows("set,mL,pH\n", func(i int, v, p float64) string { return fmt.Sprintf("%d,%.2f,%.2f", 300+100*(i/half), v, p) }),
	} {
		l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
		require.NoError(t, err, name)
		assert.Len(t, l.Rows, len(c.v), name)
		assert.Zero(t, l.Runs, name)
	}
}

// There with acid and back with base: each is a curve of its own, and the rows of the other
// are no part of it.
func TestThereAndBack(t *testing.T) {
	c := aceticCurve()
	half := len(c.v) / 3
	text := "base mL,acid mL,pH\n"
	for i := range c.v {
		text += fmt.Sprintf("%.2f,0,%.2f\n", c.v[i], c.ph[i])
	}
	top := c.v[len(c.v)-1]
	for k := 1; k < half; k++ {
		i := len(c.v) - 1 - k
		text += fmt.Sprintf("%.2f,%.2f,%.2f\n", top, top-c.v[i], c.ph[i])
	}
	for name, rows := range map[string]int{"base mL": len(c.v), "acid mL": half} {
		l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{Column: map[string]string{"volume": name}})
		require.NoError(t, err)
		assert.Len(t, l.Rows, rows, name)
		assert.Contains(t, strings.Join(l.Notes, "\n"), "are left out")
	}
}

// Per cent of a burette are no mL.
func TestPerCentOfABurette(t *testing.T) {
	c := aceticCurve()
	l, err := foreign.ReadLog(strings.NewReader(c.rows("burette %,pH\n", func(_ int, v, p float64) string { return fmt.Sprintf("%.1f,%.2f", 2*v, p) })), foreign.LogOptions{})
	require.NoError(t, err)
	assert.Nil(t, l.Review(fit.Options{SampleML: 25}).Fit)
}

// The size of a drop and of the sample is read from above the table, also as a computer
// writes numbers; a flag goes before it.
func TestSizesAboveTheTable(t *testing.T) {
	head := "# V0 = 2.50E-02 L\n# drop volume: 42 µL\n# c(NaOH) = 1.0E-01 mol/L\n"
	rows := "drops,pH\n0,3.0\n10,4.1\n20,4.6\n30,5.1\n"
	l, err := foreign.ReadLog(strings.NewReader(head+rows), foreign.LogOptions{})
	require.NoError(t, err)
	assert.InDelta(t, 25, l.Known.SampleML, 1e-9)
	assert.InDelta(t, 0.1, l.Known.Molar, 1e-9)
	assert.InDelta(t, 1.26, l.Rows[3].ML, 1e-9)
	assert.Contains(t, strings.Join(l.Notes, "\n"), "a drop is taken as 0.042 mL (by the line")
	l, err = foreign.ReadLog(strings.NewReader(head+rows), foreign.LogOptions{DropML: 0.03})
	require.NoError(t, err)
	assert.InDelta(t, 0.9, l.Rows[3].ML, 1e-9)
	l, err = foreign.ReadLog(strings.NewReader(rows), foreign.LogOptions{})
	require.NoError(t, err)
	assert.InDelta(t, 1.5, l.Rows[3].ML, 1e-9)
}
