//go:build unix

package teach

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/learn"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/serial/serialtest"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/tui/led"
	"example.org/halfdrop/tui/screen"
)

// What the screen is told at each moment.
func TestLearnStates(t *testing.T) {
	l := testLearner(t, "corner", serial.Config{Name: "p"})
	assert.Equal(t, screen.LetBe, l.State().Mood)
	assert.Equal(t, "LISTEN: 0 of 20 lines have come", l.State().Sentence)
	l.Hear(serial.Heard{Raw: []byte("\xff\xfe\x80\x90")})
	assert.Contains(t, l.State().Why, "is the speed right?")
	for i := range learn.Wanted {
		l.Hear(serial.Heard{At: time.Unix(int64(i), 0), Line: []byte(fmt.Sprintf("%.1f,%.2f", 20.5+float64(i), 7.02+0.01*float64(i%3)))})
	}
	st := l.State()
	assert.Equal(t, screen.DoNow, st.Mood)
	assert.Contains(t, st.Sentence, "SAY which column is the pH")
	assert.Equal(t, "time?", st.Columns[0].Is)
	assert.Equal(t, "pH? °C? mV?", st.Columns[1].Is)
	done, err := l.Press(led.LearnKeep)
	require.NoError(t, err)
	assert.False(t, done, "nothing is kept before somebody has said")
	assert.Contains(t, l.State().Why, "say which column is the pH")
	press(t, l, "c", led.LearnRight, "p")
	st = l.State()
	assert.Equal(t, screen.LookAt, st.Mood, "a temperature that climbs")
	assert.Contains(t, st.Why, "the temperature would not be used: it jumps")
	press(t, l, led.LearnLeft, led.LearnLeft, "t")
	st = l.State()
	assert.Equal(t, screen.AllSet, st.Mood)
	assert.Equal(t, "read so: pH 7.02 (20 of 20 lines)", st.Read)
	done, err = l.Press(led.LearnKeep)
	require.NoError(t, err)
	assert.True(t, done)
	written, err := os.ReadFile(l.Kept)
	require.NoError(t, err)
	assert.Contains(t, string(written), `columns = ["time", "pH"]`)
}

// What was said is not thrown away unasked: the first q asks, any other key takes that
// back, and before anything was said, or with Ctrl-C, it leaves at once.
func TestLeavingAsksOnceSomethingWasSaid(t *testing.T) {
	hear := func() *Learner {
		l := testLearner(t, "corner", serial.Config{Name: "p"})
		for i := range learn.Wanted {
			l.Hear(serial.Heard{At: time.Unix(int64(i), 0), Line: []byte(fmt.Sprintf("%d,%.2f", i, 7.02+0.01*float64(i%3)))})
		}
		return l
	}
	l := hear()
	done, _ := l.Press(led.LearnQuit)
	assert.True(t, done, "nothing was said yet")
	l = hear()
	press(t, l, led.LearnRight, "p", led.LearnQuit)
	assert.Contains(t, l.State().Why, "q once more leaves")
	press(t, l, led.LearnLeft, led.LearnQuit)
	done, err := l.Press(led.LearnQuit)
	assert.True(t, done)
	assert.ErrorContains(t, err, "nothing was kept")
	l = hear()
	press(t, l, led.LearnRight, "p")
	done, _ = l.Press(led.LearnStop)
	assert.True(t, done)
}

// A meter with two channels: the one in the beaker has to be said, and is kept.
func TestLearnChannels(t *testing.T) {
	teach := func(channel string) (*Learner, screen.Learn, bool) {
		l := testLearner(t, "two", serial.Config{Name: "p", Channel: channel})
		for i := range learn.Wanted {
			l.Hear(serial.Heard{At: time.Unix(int64(i), 0), Line: fmt.Appendf(nil, "%d;%.2f", i%2+1, 7.02-0.5*float64(i%2))})
		}
		press(t, l, "n", led.LearnRight, "p")
		st := l.State()
		done, err := l.Press(led.LearnKeep)
		require.NoError(t, err)
		return l, st, done
	}
	l, st, done := teach("")
	assert.False(t, done)
	assert.Equal(t, screen.LookAt, st.Mood)
	assert.Contains(t, l.told, "more than one channel speaks: 1 and 2: start again with --channel")
	l, st, done = teach("2")
	assert.True(t, done, l.told)
	assert.Contains(t, st.Read, "pH 6.52, channel 2 (10 of 20 lines)")
	written, err := os.ReadFile(l.Kept)
	require.NoError(t, err)
	assert.Contains(t, string(written), `channel = "2"`)
}

// Lines that say themselves what they hold need no question.
func TestLearnNothingToAsk(t *testing.T) {
	l := testLearner(t, "known", serial.Config{Name: "p"})
	for i := range learn.Wanted {
		l.Hear(serial.Heard{At: time.Unix(int64(i), 0), Line: []byte("pH 7.02 25.1 C")})
	}
	st := l.State()
	assert.Equal(t, screen.AllSet, st.Mood)
	assert.Contains(t, st.Sentence, "say by themselves")
	for _, c := range st.Columns {
		assert.False(t, c.Asked)
	}
	assert.Equal(t, "read so: pH 7.02, 25.1 °C (20 of 20 lines)", st.Read)
	done, err := l.Press(led.LearnKeep)
	require.NoError(t, err)
	assert.True(t, done)
}

func press(t *testing.T, l *Learner, keys ...string) {
	t.Helper()
	for _, k := range keys {
		done, err := l.Press(k)
		require.NoError(t, err)
		require.False(t, done)
	}
}

// A stream without CR and LF: what ends its lines is found.
func TestLearnFindsTheTerminator(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN with -short: the terminator was not looked for in lines that do not end, which takes seconds of real time")
	}
	m := serialtest.Plug(t)
	m.Stream(50*time.Millisecond, func() string { return "7.02 25.1;" })
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	l := testLearner(t, "semi", serial.Config{Name: m.Path()})
	answers := make(chan string, 2)
	answers <- "p"
	answers <- "c"
	var out bytes.Buffer
	require.NoError(t, l.byLines(ctx, answers, &out))
	written, err := os.ReadFile(l.Kept)
	require.NoError(t, err)
	assert.Contains(t, string(written), `terminator = ";"`)
}

// testLearner is a learner with a folder of its own.
func testLearner(t *testing.T, name string, c serial.Config) *Learner {
	t.Helper()
	m := shelf.Meters{Folder: filepath.Join(t.TempDir(), "meters")}
	return &Learner{Name: name, Conf: c, Save: func(name, text string) (string, error) { return m.Save(name, text, false) }}
}

// TestTheEndOfAPortSaysWhich: a connection that is lost while a meter is learned names the
// port, and what to try.
func TestTheEndOfAPortSaysWhich(t *testing.T) {
	raw := errors.New("read tcp 127.0.0.1:45412->127.0.0.1:4801: read: connection reset by peer")
	for _, err := range []error{endOf("tcp://127.0.0.1:4801", raw, false), endOf("tcp://127.0.0.1:4801", nil, false)} {
		assert.Contains(t, phrase.Plain(err).Error(), "tcp://127.0.0.1:4801: the ")
		assert.NotContains(t, phrase.Plain(err).Error(), "read tcp")
		var r *remedy.Error
		require.ErrorAs(t, err, &r)
		assert.Contains(t, r.Hints[0], "nothing was kept")
	}
	assert.NoError(t, endOf("x", nil, true))
	known := errors.New("x: no such port")
	assert.Equal(t, known, endOf("x", known, false))
}

// Where a meter is being learned nobody is told to begin that.
func TestLearningDoesNotSendToLearning(t *testing.T) {
	l := testLearner(t, "corner", serial.Config{Name: "p"})
	for i := range learn.Wanted {
		l.Hear(serial.Heard{At: time.Unix(int64(i), 0), Line: []byte(fmt.Sprintf("%d,%.2f", 4+i, 7.02+0.01*float64(i%3)))})
	}
	press(t, l, "p") // the first column, which counts the lines
	st := l.State()
	assert.Contains(t, st.Sentence, "CHECK the columns")
	assert.Contains(t, st.Why, "say what the columns are")
	assert.NotContains(t, st.Why, "--learn")
}
