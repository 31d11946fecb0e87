//go:build unix

package main

import (
	"io"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/charmbracelet/x/vt"
)

// watched is a terminal and all that it has shown.
type watched struct {
	mu     sync.Mutex
	glass  *vt.Emulator
	screen []string // different ones, in order
	times  []time.Time
	from   int
	late   time.Duration // by which looks came later than they were to: how busy the machine is
}

func newWatched(tty io.ReadWriter) *watched {
	w := &watched{glass: vt.NewEmulator(80, 24)}
	go func() { _, _ = io.Copy(tty, w.glass) }() // its answers
	go func() {
		buf := make([]byte, 4096)
		for {
			n, err := tty.Read(buf)
			if n > 0 {
				w.write(buf[:n])
			}
			if err != nil {
				return
			}
		}
	}()
	return w
}

func (w *watched) write(b []byte) {
	w.mu.Lock()
	defer w.mu.Unlock()
	_, _ = w.glass.Write(b)
}

var notWords = regexp.MustCompile(`[\s│┃╏▌▐█▎▏▋╎┆┊|]+`)

// now is what stands on the screen, in one line.
func (w *watched) now() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	var b strings.Builder
	for y := range 24 {
		for x := range 80 {
			if c := w.glass.CellAt(x, y); c != nil && c.Content != "" {
				b.WriteString(c.Content)
			} else {
				b.WriteByte(' ')
			}
		}
		b.WriteByte('\n')
	}
	return notWords.ReplaceAllString(b.String(), " ")
}

// watch keeps what the screen shows for a while.
func (w *watched) watch(d time.Duration) {
	const every = 40 * time.Millisecond
	last := time.Now()
	for end := last.Add(d); time.Now().Before(end); time.Sleep(every) {
		now := time.Now()
		w.late += max(0, now.Sub(last)-2*every)
		last = now
		if s := w.now(); len(w.screen) == 0 || s != w.screen[len(w.screen)-1] {
			w.screen, w.times = append(w.screen, s), append(w.times, time.Now())
		}
	}
}

// mark is where the fault begins.
func (w *watched) mark() { w.from = len(w.screen) }

func (w *watched) had(words string) bool {
	for _, s := range w.screen {
		if strings.Contains(s, words) {
			return true
		}
	}
	return false
}

func (w *watched) hadAll(words []string) bool {
	return !slices.ContainsFunc(words, func(one string) bool { return !w.had(one) })
}

// first is when the screen first had words after the fault began; the last look where it never had.
func (w *watched) first(words string) time.Time {
	for i, s := range w.screen[w.from:] {
		if strings.Contains(s, words) {
			return w.times[w.from+i]
		}
	}
	return w.times[len(w.times)-1]
}

// advisedAfter reports whether an addition was advised later than at.
func (w *watched) advisedAfter(at time.Time) bool {
	for i, s := range w.screen[w.from:] {
		if w.times[w.from+i].After(at) && strings.Contains(s, "ADD ") {
			return true
		}
	}
	return false
}
