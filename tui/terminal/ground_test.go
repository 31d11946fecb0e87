package terminal

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func waiting(now time.Time) *asker { return &asker{until: now.Add(answerTime)} }

// TestDarkColour: answers as terminals write them (XParseColor of X11: one to four
// hexadecimal digits a part).
func TestDarkColour(t *testing.T) {
	for text, want := range map[string][2]bool{
		"rgb:ffff/ffff/ffff": {false, true}, "rgb:0000/0000/0000": {true, true}, "rgb:fdfd/f6f6/e3e3": {false, true},
		"rgb:2e/2e/2e": {true, true}, "rgba:1e1e/1e1e/1e1e/ffff": {true, true}, "rgb:f/f/f": {false, true},
		"rgb:0000/2b2b/3636": {true, true}, "": {false, false}, "rgb:12/34": {false, false}, "rgb:x/y/z": {false, false}, "?": {false, false},
	} {
		dark, ok := darkColour(text)
		assert.Equal(t, want, [2]bool{dark, ok}, text)
	}
}

// TestAnswerIsNotTyped: however an answer is cut into reads and wherever it falls
// among keys, the keys arrive as they were and no byte of the answer does.
func TestAnswerIsNotTyped(t *testing.T) {
	now := time.Unix(0, 0)
	rapid.Check(t, func(t *rapid.T) {
		keys := rapid.SampledFrom([]string{"", "6", "12\r", "\x1b[A", "n", " "})
		before, after := keys.Draw(t, "before"), keys.Draw(t, "after")
		end := rapid.SampledFrom([]string{"\a", "\x1b\\"}).Draw(t, "end")
		all := before + "\x1b]11;rgb:ffff/ffff/ffff" + end + after
		cut := rapid.IntRange(len(before)+2, len(all)).Draw(t, "cut") // ESC and ] come together
		a := waiting(now)
		got, told := "", 0
		for _, part := range []string{all[:cut], all[cut:]} {
			kept, dark, answered := a.sift([]byte(part), now)
			got += string(kept)
			if answered {
				told++
				assert.False(t, dark)
			}
		}
		if got != before+after || told != 1 {
			t.Fatalf("%q came through of %q, told %d times", got, all, told)
		}
	})
}

// TestKeysPass: without an answer every key passes at once, Escape included.
func TestKeysPass(t *testing.T) {
	now := time.Unix(0, 0)
	for _, in := range []string{"\x1b", "0.3m\r", "\x1bO", "é", "]", "\x1b[<0;1;1M"} {
		kept, _, answered := waiting(now).sift([]byte(in), now)
		assert.Equal(t, in, string(kept))
		assert.False(t, answered)
	}
	late := waiting(now)
	kept, _, _ := late.sift([]byte("\x1b]"), now.Add(2*answerTime))
	assert.Equal(t, "\x1b]", string(kept), "after the time for an answer nothing is held back")
	kept, _, answered := late.sift([]byte("11;rgb:0/0/0\a"), now.Add(2*answerTime))
	assert.Equal(t, "11;rgb:0/0/0\a", string(kept))
	assert.False(t, answered)
	endless := waiting(now)
	kept, _, _ = endless.sift([]byte("7\x1b]11;"+strings.Repeat("f", 200)), now)
	assert.Equal(t, "7", string(kept), "what is no answer either is not typed")
}

func TestWhoIsAsked(t *testing.T) {
	askAgain()
	defer askAgain()
	env := func(pairs ...string) func(string) string {
		return func(name string) string {
			for i := 0; i < len(pairs); i += 2 {
				if pairs[i] == name {
					return pairs[i+1]
				}
			}
			return ""
		}
	}
	assert.True(t, Options{}.asks(env("TERM", "xterm-256color")))
	assert.True(t, Options{Background: "auto"}.asks(env("TERM", "xterm-256color")))
	assert.False(t, Options{Background: "light"}.asks(env("TERM", "xterm-256color")))
	assert.False(t, Options{}.asks(env("TERM", "linux")))
	assert.False(t, Options{}.asks(env("TERM", "dumb")))
	assert.False(t, Options{}.asks(env("TERM", "screen-256color")))
	assert.True(t, Options{}.asks(env("TERM", "screen-256color", "TMUX", "socket,1,0")))
	assert.False(t, Options{}.asks(env("TERM", "xterm", "NO_COLOR", "1")))
}

// askAgain has the terminal asked for its background, as at the start of the process.
func askAgain() {
	ground.mu.Lock()
	defer ground.mu.Unlock()
	ground.until, ground.done, ground.held = time.Time{}, false, nil
}
