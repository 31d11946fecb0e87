package manners

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"example.org/halfdrop/meter/phrase"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/term"
	"github.com/mattn/go-isatty"
)

// TalkTo is standard error for people: on a terminal long lines are broken between
// words, what goes on set in by two. In a file or a pipe a message stays one line.
func TalkTo(f *os.File, out io.Writer) io.Writer {
	if !isatty.IsTerminal(f.Fd()) {
		return out
	}
	width, _, err := term.GetSize(f.Fd())
	if err != nil || width < 20 {
		return out
	}
	return &folding{out, width}
}

// ToPeople is the standard error of this process, as the commands have it.
var ToPeople io.Writer

// TerminalOf is the terminal behind an output, for a line that is drawn over and over;
// nil when there is none.
func TerminalOf(out io.Writer) *os.File {
	f, ok := out.(*os.File)
	if out == ToPeople && out != nil {
		f, ok = os.Stderr, true
	}
	if !ok || !isatty.IsTerminal(f.Fd()) {
		return nil
	}
	return f
}

// folding breaks the lines that come whole in one write; what is not ended yet, such
// as a question, goes through as it is.
type folding struct {
	io.Writer
	width int
}

func (f *folding) Write(b []byte) (int, error) {
	whole, rest := "", string(b)
	if at := strings.LastIndexByte(rest, '\n'); at >= 0 {
		whole, rest = rest[:at+1], rest[at+1:]
	}
	var out strings.Builder
	for line := range strings.Lines(whole) {
		line = strings.TrimSuffix(line, "\n")
		switch {
		case lipgloss.Width(line) <= f.width || strings.Contains(line, "\t"):
			out.WriteString(line + "\n")
			continue
		case strings.HasPrefix(line, " "): // what goes on is set in as far, or hangs below its column
			out.WriteString(phrase.Hang(line+"\n", f.width))
			continue
		}
		parts := phrase.Wrap(line, f.width-2)
		out.WriteString(strings.Join(parts, "\n  ") + "\n")
	}
	out.WriteString(rest)
	if _, err := io.WriteString(f.Writer, out.String()); err != nil {
		return 0, err
	}
	return len(b), nil
}

// patience is how long a command may take before it says what it is doing.
const patience = time.Second

// Busy says on the terminal behind talk what is being done and for how long, once that
// has taken a second, until done is called; the line is then gone. Where there is no
// terminal nothing is said.
func Busy(talk io.Writer, what string) (done func()) {
	file := TerminalOf(talk)
	if file == nil {
		return func() {}
	}
	return busy(file, what, patience)
}

// busy is Busy on any output, with another second.
func busy(out io.Writer, what string, second time.Duration) (done func()) {
	stop, gone := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(gone)
		tick := time.NewTicker(second)
		defer tick.Stop()
		wide := 0
		for n := 1; ; n++ {
			select {
			case <-stop:
				if wide > 0 {
					fmt.Fprintf(out, "\r%s\r", strings.Repeat(" ", wide))
				}
				return
			case <-tick.C:
				line := fmt.Sprintf("%s, %d s", phrase.Clip(what, 60), n)
				wide = max(wide, len([]rune(line)))
				fmt.Fprintf(out, "\r%s", line)
			}
		}
	}()
	var once sync.Once
	return func() {
		once.Do(func() { close(stop); <-gone })
	}
}
