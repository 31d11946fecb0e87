package tui_test

import (
	"context"
	"io"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/terminal"
)

// talk is a line mode that is driven line by line. Each step gives back what
// was printed for it.
type talk struct {
	*fake
	keys *io.PipeWriter
	out  *strings.Builder
	done chan error
}

func speak(t *testing.T, o terminal.Options) *talk {
	t.Setenv("LC_ALL", "C.UTF-8")
	r, w := io.Pipe()
	tk := &talk{fake: newFake(), keys: w, out: &strings.Builder{}, done: make(chan error, 1)}
	return tk.run(t.Context(), r, o)
}

func (k *talk) run(ctx context.Context, r io.Reader, o terminal.Options) *talk {
	go func() { k.done <- tui.Plain(ctx, k, r, k.out, o) }()
	return k
}

func (k *talk) heard() string {
	synctest.Wait()
	s := k.out.String()
	k.out.Reset()
	return s
}

func (k *talk) show(v view.View) string {
	k.views <- v
	return k.heard()
}

func (k *talk) say(line string) string {
	io.WriteString(k.keys, line+"\n")
	return k.heard()
}

func TestPlainRun(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := speak(t, terminal.Options{})
		assert.Equal(t, "MOPS 20 mM, invented. Target pH 7.20 in use at 30 °C. Titrants: NaOH 1 M, NaOH 0.1 M, HCl 0.1 M. ? lists what can be typed.\n"+
			"WAIT for the reading to settle. pH 6.91, settling, towards 6.93 plus or minus 0.02. Aim 7.32 ±0.02. On its way to about 6.93 ± 0.02; a better reading makes the next step surer.\n", k.show(waiting()))
		later := waiting()
		later.T, later.PH = 22, 6.92
		assert.Empty(t, k.show(later), "nothing to do with it, so nothing is said")
		assert.Contains(t, k.show(advising(6)), "ADD 6 drops of NaOH 1 M. pH 6.91, settled, plus or minus 0.02. Aim 7.32 ±0.02. Most of the way: ")
		assert.Empty(t, k.show(advising(6)))
		assert.Empty(t, k.say(""))
		assert.Equal(t, []intent.Intent{add(naoh, 6)}, k.wants())
		assert.Contains(t, k.say(""), "That is already being recorded")
		v := waiting()
		v.Heard, v.Answers = k.latest(), []intent.Answer{{Text: "recorded: 6 drops of NaOH 1 M"}}
		v.Entries = []view.Entry{{Seq: 4, T: 21, Drops: 6, Volume: 3e-4}}
		assert.Contains(t, k.show(v), "recorded: 6 drops of NaOH 1 M\nWAIT")
		assert.Equal(t, "00:21 6 drops NaOH 1 M\n", k.say("a"))
		v.Answers = nil
		v.Alarm = "not being recorded: the disk is full"
		assert.Equal(t, "ALARM: not being recorded: the disk is full\n", k.show(v))
		assert.Contains(t, k.say("q"), "y or n")
		assert.Equal(t, "The run continues.\n", k.say("5"))
		k.say("q")
		k.say("y")
		v.Outcome = tui.Left
		assert.Equal(t, "The run is closed: ended before the aim.\n", k.show(v))
		close(k.views)
		require.NoError(t, <-k.done)
		assert.Equal(t, []intent.Intent{add(naoh, 6), {Kind: intent.End, Text: tui.LeftUnread}}, k.wants())
		k.keys.Close()
	})
}

// Before the first addition there is none to list, to withdraw or to correct.
func TestPlainBeforeTheFirstAddition(t *testing.T) {
	for line, says := range map[string]string{"a": "No additions yet.", "u": "There is no addition to withdraw.", "e 7": "There is no addition to correct."} {
		synctest.Test(t, func(t *testing.T) {
			k := speak(t, terminal.Options{})
			v := advising(6)
			v.Entries = nil
			k.show(v)
			assert.Contains(t, k.say(line), says)
			assert.Empty(t, k.wants())
			close(k.views)
			k.keys.Close()
			require.NoError(t, <-k.done)
		})
	}
}

func TestPlainLines(t *testing.T) {
	ml := func(name string, ml float64) intent.Intent {
		return intent.Intent{Kind: intent.Add, Titrant: name, ML: ml}
	}
	for _, c := range []struct {
		line string
		want *intent.Intent
		says string
	}{
		{"", new(add(naoh, 6)), ""},
		{"4", new(add(naoh, 4)), ""},
		{" 4 drops ", new(add(naoh, 4)), ""},
		{"1 drop", new(add(naoh, 1)), ""},
		{"0.6m", new(ml(naoh, 0.6)), ""},
		{"0,6 mL", new(ml(naoh, 0.6)), ""},
		{"6 NaOH 0.1 M", new(add(dilut, 6)), ""},
		{"0.3 ml hcl", new(ml(hcl, 0.3)), ""},
		{"2 drops HCl 0.1 M", new(add(hcl, 2)), ""},
		{"6 NaOH", nil, `"NaOH" may be NaOH 1 M or NaOH 0.1 M. Nothing is recorded.`},
		{"6 KOH", nil, `No titrant of the plan is called "KOH"`},
		{"0", nil, "neither an amount nor a command"},
		{"-3", nil, "neither an amount nor a command"},
		{"1e3", nil, `No titrant of the plan is called "e3"`},
		{"hello", nil, `"hello" is neither an amount nor a command`},
		{"u", nil, "Why withdraw 20 drops of NaOH 1 M? 1 (mis-keyed), 2 (it missed the beaker)"},
		{"w Tris 3.03 g lot A17", &intent.Intent{Kind: intent.Note, Text: "Tris 3.03 g lot A17"}, ""},
		{"w", nil, "to go on record?"},
		{"c", nil, "There is no CHECK to confirm."},
		{"d", &intent.Intent{Kind: intent.Dose, Titrant: naoh}, ""},
		{"n", &intent.Intent{Kind: intent.Decline}, ""},
		{"g", nil, "Nothing is held back: the order stands and can be given"},
		{"i", &intent.Intent{Kind: intent.Immersed}, ""},
		{"+ KOH 0.5 M, 40 µL", &intent.Intent{Kind: intent.Bottle, Text: "KOH 0.5 M, 40 µL"}, ""},
		{"+", nil, "Which bottle? + NaOH 0.1 M."},
		{"r stirred harder", &intent.Intent{Kind: intent.Remark, Text: "stirred harder"}, ""},
		{"r", nil, "A remark needs words"},
		{"t", nil, "This addition is recorded as NaOH 0.1 M, which is not the one advised."},
		{"s", nil, "ADD 6 drops of NaOH 1 M. pH 6.91, settled"},
		{"a", nil, "20 drops NaOH 1 M"},
		{"?", nil, "6 NaOH 0.1 M: record 6 drops of another titrant"},
	} {
		t.Run(c.line, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				k := speak(t, terminal.Options{})
				k.show(advising(6))
				got := k.say(c.line)
				if assert.Contains(t, got, c.says); c.says == "" {
					assert.Empty(t, got)
				}
				var want []intent.Intent
				if c.want != nil {
					want = append(want, *c.want)
				}
				assert.Equal(t, want, k.wants())
				close(k.views)
				k.keys.Close()
				require.NoError(t, <-k.done)
			})
		})
	}
}

// TestPlainEndOfInput: the run is closed, and one that does not answer does
// not hold the program for ever.
func TestPlainEndOfInput(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := speak(t, terminal.Options{})
		k.show(stopping())
		began := time.Now()
		k.keys.Close()
		require.NoError(t, <-k.done)
		assert.Equal(t, []intent.Intent{{Kind: intent.End, Text: "in tolerance at 7.32"}}, k.wants())
		assert.LessOrEqual(t, time.Since(began), 5*time.Second)
	})
}

// A run that was taken up again where nobody ever types was not left by anybody,
// and can be gone on with.
func TestPlainWithoutAnybody(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := speak(t, terminal.Options{Again: true})
		k.show(waiting())
		k.keys.Close()
		require.NoError(t, <-k.done)
		assert.Empty(t, k.wants())
	})
}

// A question is put in words, and only an answer to it is taken.
func TestPlainQuestions(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := speak(t, terminal.Options{})
		k.show(advising(3))
		k.show(waiting())
		assert.Equal(t, "Was it given already: 3 drops of NaOH 1 M? y or n\n", k.say(""))
		assert.Equal(t, "Y or n.\n", k.say("5"))
		assert.Empty(t, k.wants())
		k.say("y")
		assert.Equal(t, []intent.Intent{add(naoh, 3)}, k.wants())
		v := waiting()
		v.Heard = k.latest()
		in := add(naoh, 5000)
		v.Answers = []intent.Answer{{To: in, Text: "5000 drops: there is room for 50 mL", Failed: true, Asks: true}}
		assert.Equal(t, "5000 drops: there is room for 50 mL. Record it? y or n\n", k.show(v))
		assert.Equal(t, "Nothing is recorded.\n", k.say("n"))
		assert.Len(t, k.wants(), 1)
		close(k.views)
		k.keys.Close()
		require.NoError(t, <-k.done)
	})
}

// TestPlainASCII: nothing but ASCII and no control codes, whatever is in the plan.
func TestPlainASCII(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := speak(t, terminal.Options{ASCII: true})
		v := waiting()
		v.Name = "a\x1b[31m° buffer\x07"
		for _, r := range k.show(v) + k.say("?") {
			assert.True(t, r == '\n' || r >= ' ' && r < 0x7f, "%U", r)
		}
		v.Link, v.Age = "lost", 7
		k.show(v)
		close(k.views)
		k.keys.Close()
		require.NoError(t, <-k.done)
	})
}

func TestPlainBrokenOutput(t *testing.T) {
	f := newFake()
	f.views <- waiting()
	err := tui.Plain(t.Context(), f, strings.NewReader(""), broken{}, terminal.Options{})
	assert.ErrorIs(t, err, io.ErrClosedPipe)
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }
