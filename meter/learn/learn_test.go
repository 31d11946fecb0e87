package learn_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
	"example.org/halfdrop/meter/learn"
)

var begin = time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)

// lesson makes twenty lines, a second apart.
func lesson(t *testing.T, line func(i int) string) *learn.Lesson {
	t.Helper()
	var lines []learn.Line
	for i := range learn.Wanted {
		lines = append(lines, learn.Line{At: begin.Add(time.Duration(i) * time.Second), Text: []byte(line(i))})
	}
	l, err := learn.New(lines)
	require.NoError(t, err)
	return l
}

// ph wobbles as a reading does.
func ph(i int) float64 { return 7.02 + 0.01*float64(i*7%4) }

// roles are what the lesson says by itself: "?" where it has to be asked.
func roles(l *learn.Lesson) (out []string) {
	for _, c := range l.Columns {
		if c.Role == "" {
			out = append(out, "?")
		} else {
			out = append(out, string(c.Role))
		}
	}
	return out
}

// can are the roles that a column may have.
func can(c learn.Column) (out []string) {
	for _, g := range c.Can {
		out = append(out, string(g.Role))
	}
	return out
}

// Two bare numbers are asked about, whatever they look like; nothing is made of
// them until somebody has said which is the pH.
func TestNothingIsGuessed(t *testing.T) {
	for name, line := range map[string]func(i int) string{
		"pH, °C":      func(i int) string { return fmt.Sprintf("%.2f,25.1", ph(i)) },
		"mL, pH":      func(i int) string { return fmt.Sprintf("%.3f %.2f", 1.25, ph(i)) },
		"seconds, pH": func(i int) string { return fmt.Sprintf("%.1f,%.2f", 20.5+float64(i), ph(i)) },
		"pH, mV, °C":  func(i int) string { return fmt.Sprintf("%.2f\t%.1f\t25.1", ph(i), -1.2) },
		"one number":  func(i int) string { return fmt.Sprintf("%.1f", ph(i)) },
	} {
		l := lesson(t, line)
		assert.False(t, l.Known, name)
		assert.NotContains(t, strings.Join(roles(l), " "), "pH", name)
		for _, r := range roles(l) {
			assert.Equal(t, "?", r, name)
		}
		_, err := l.Spec("m")
		assert.ErrorContains(t, err, "say which column is the pH", name)
		_, err = l.Try("m")
		assert.Error(t, err, name)
	}
}

// What the person says becomes a dialect that reads the lines.
func TestLearned(t *testing.T) {
	for name, tt := range map[string]struct {
		line func(i int) string
		say  []frame.Role
		temp float64 // NaN-free: 0 for none
	}{
		"commas":          {func(i int) string { return fmt.Sprintf("%.2f,25.1", ph(i)) }, []frame.Role{frame.RolePH, frame.RoleC}, 25.1},
		"decimal commas":  {func(i int) string { return strings.ReplaceAll(fmt.Sprintf("%.2f;25.1", ph(i)), ".", ",") }, []frame.Role{frame.RolePH, frame.RoleC}, 25.1},
		"commas, blanks":  {func(i int) string { return strings.ReplaceAll(fmt.Sprintf("%.2f 25.1", ph(i)), ".", ",") }, []frame.Role{frame.RolePH, frame.RoleC}, 25.1},
		"one comma":       {func(i int) string { return strings.ReplaceAll(fmt.Sprintf("%.2f", ph(i)), ".", ",") }, []frame.Role{frame.RolePH}, 0},
		"°F":              {func(i int) string { return fmt.Sprintf("77.0 %.2f", ph(i)) }, []frame.Role{frame.RoleF, frame.RolePH}, 25},
		"a count":         {func(i int) string { return fmt.Sprintf("%d %.2f 25.1", i, ph(i)) }, []frame.Role{frame.RoleTime, frame.RolePH, frame.RoleC}, 25.1},
		"around numbers":  {func(i int) string { return fmt.Sprintf("R%.2f/T25.1#", ph(i)) }, []frame.Role{frame.RolePH, frame.RoleC}, 25.1},
		"in a sentence":   {func(i int) string { return fmt.Sprintf("value%.2fnow,77.0outside", ph(i)) }, []frame.Role{frame.RolePH, frame.RoleF}, 25},
		"XON inside":      {func(i int) string { return fmt.Sprintf("%.2f\x11,25.1", ph(i)) }, []frame.Role{frame.RolePH, frame.RoleC}, 25.1},
		"only one is pH":  {func(i int) string { return fmt.Sprintf("%.2f 6.50", ph(i)) }, []frame.Role{frame.RolePH, frame.RoleIgnore}, 0},
		"quotation marks": {func(i int) string { return fmt.Sprintf(`"%.2f";"25.1"`, ph(i)) }, []frame.Role{frame.RolePH, frame.RoleC}, 25.1},
	} {
		t.Run(name, func(t *testing.T) {
			l := lesson(t, tt.line)
			require.Len(t, l.Columns, len(tt.say), "%+v", l.Columns)
			for i, role := range tt.say {
				l.Say(i, role)
			}
			out, err := l.Try("m")
			require.NoError(t, err)
			assert.Equal(t, learn.Wanted, out.Read, "%v", out.Err)
			assert.InDelta(t, 7.02, out.First.Value, 1e-9)
			assert.InDelta(t, tt.temp, out.First.TempC, 0.01)
		})
	}
}

func TestColumnsSayWhatTheyCanBe(t *testing.T) {
	l := lesson(t, func(i int) string {
		return fmt.Sprintf("%.1f,%.2f,%d,stable,10:15:%02d", 20.5+float64(i), ph(i), i%2+1, i)
	})
	require.Len(t, l.Columns, 5)
	assert.Equal(t, []string{"?", "?", "?", "status", "time"}, roles(l))
	assert.Equal(t, []string{"time", "ignore"}, can(l.Columns[0]))
	assert.Contains(t, l.Columns[0].Cannot, learn.Guess{Role: frame.RoleC, Why: "it climbs by 1 each line"})
	assert.Equal(t, []string{"pH", "°C", "mV", "ignore"}, can(l.Columns[1]))
	assert.Equal(t, "7.02 to 7.05, 2 decimals", l.Columns[1].Can[0].Why)
	assert.Contains(t, can(l.Columns[2]), "channel")
	assert.NotContains(t, can(l.Columns[2]), "pH")
	assert.Equal(t, "channel", can(l.Columns[2])[0], "1 and 2 by turns")
	l.Say(1, frame.RolePH)
	assert.Contains(t, l.Missing(), "say what column 3 is: it goes back and forth")
	l.Say(2, frame.RoleIgnore)
	assert.Empty(t, l.Missing())
	// A temperature that is said of a column that climbs is seen through.
	l.Say(1, frame.RolePH)
	l.Say(0, frame.RoleC)
	out, err := l.Try("m")
	require.NoError(t, err)
	assert.Equal(t, guard.WarmJumps, out.Warmth)
	assert.Equal(t, learn.Wanted, out.Read)
}

func TestNamedColumnsNeedNoQuestion(t *testing.T) {
	l := lesson(t, func(i int) string { return fmt.Sprintf("%.2f pH,25.1 C,0.13", ph(i)) })
	assert.Equal(t, []string{"pH", "°C", "?"}, roles(l))
	assert.Empty(t, l.Missing())
	known := lesson(t, func(i int) string { return fmt.Sprintf("pH=%.2f T=25.1C", ph(i)) })
	assert.True(t, known.Known)
	out, err := known.Try("m")
	require.NoError(t, err)
	assert.Equal(t, learn.Wanted, out.Read)
	units := lesson(t, func(i int) string { return fmt.Sprintf("%.2f,pH,25.1,C,7", ph(i)) })
	assert.Equal(t, []string{"pH", "ignore", "°C", "ignore", "?"}, roles(units))
	both := lesson(t, func(i int) string { return fmt.Sprintf("pH %.3f 21.0 C", ph(i)) })
	assert.Equal(t, []string{"ignore", "pH", "°C", "ignore"}, roles(both), "a name before the one, a unit behind the other")
}

// A role that only one column can have moves; the other is left out.
func TestSayMoves(t *testing.T) {
	l := lesson(t, func(i int) string { return fmt.Sprintf("%.2f,6.50", ph(i)) })
	l.Say(0, frame.RolePH)
	l.Say(1, frame.RolePH)
	assert.Equal(t, []string{"ignore", "pH"}, roles(l))
	l.Say(0, frame.RoleC)
	l.Say(1, frame.RoleF)
	assert.Equal(t, []string{"ignore", "°F"}, roles(l))
	l.Say(7, frame.RolePH)
	l.Say(1, "")
	assert.Equal(t, []string{"ignore", "?"}, roles(l))
}

func TestOtherLinesAreListedOnce(t *testing.T) {
	l := lesson(t, func(i int) string {
		if i%4 == 3 {
			return fmt.Sprintf("record %d of the field station", i)
		}
		return fmt.Sprintf("%.2f,25.1", ph(i))
	})
	assert.Equal(t, []string{"record 3 of the field station"}, l.Others)
	assert.Len(t, l.Rows, 15)
}

func TestNoNumbers(t *testing.T) {
	_, err := learn.New([]learn.Line{{Text: []byte("hello")}, {Text: nil}, {Text: []byte("\xff\xfe")}})
	assert.ErrorIs(t, err, learn.ErrNoNumbers)
	_, err = learn.New(nil)
	assert.ErrorIs(t, err, learn.ErrNoNumbers)
}

func TestTerminator(t *testing.T) {
	assert.Equal(t, ";", learn.Terminator([]byte("02;7.03;7.02;7.04;7.02;7.0")))
	assert.Equal(t, "\f", learn.Terminator([]byte("pH 7.03\fpH 7.02\fpH 7.04\fpH 7.02\fpH 7.0\f")))
	assert.Empty(t, learn.Terminator([]byte("7.03 7.02 7.04 7.02")))
	assert.Empty(t, learn.Terminator([]byte("a;b;c;d;e;f")))
}

// Whatever comes, a lesson neither panics nor makes a dialect without a pH.
func FuzzLesson(f *testing.F) {
	f.Add("7.02,25.1\n7.03,25.1")
	f.Add("R7,02/25,1\n;;;\n\x00\x11")
	f.Add("1;2;3\n4;5;6\n")
	f.Fuzz(func(t *testing.T, text string) {
		var lines []learn.Line
		for i, s := range strings.Split(text, "\n") {
			lines = append(lines, learn.Line{At: begin.Add(time.Duration(i) * time.Second), Text: []byte(s)})
		}
		l, err := learn.New(lines)
		if err != nil {
			return
		}
		for i := range l.Columns {
			l.Say(i, frame.RoleIgnore)
		}
		_, err = l.Spec("m")
		require.Error(t, err)
		l.Say(0, frame.RolePH)
		s, err := l.Spec("m")
		if err != nil {
			return
		}
		if _, err := frame.NewDialect(s); err == nil {
			_, err = l.Try("m")
			require.NoError(t, err)
		}
	})
}
