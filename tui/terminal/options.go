package terminal

import (
	"io"
	"os"
	"strings"
	"unicode"

	"github.com/mattn/go-isatty"

	"example.org/halfdrop/tui/widget"
	tea "github.com/charmbracelet/bubbletea"
)

// Options are what a front end can be told. The zero value is right for most.
type Options struct {
	ASCII bool // nothing but ASCII, whatever the terminal says
	Bell  bool // ring at ADD, DONE and CHECK
	// Speak is given each new sentence; it must not block.
	Speak func(sentence string)
	// Background is dark, light, or auto and empty to ask the terminal.
	Background string
	Again      bool // the run is one that was taken up again: it is not closed by nobody
	// Display is what the display of a simulated meter shows, for a run by hand on the
	// simulator: the person reads it off there. Nil where the meter stands on the bench.
	Display func() (pH, temperature string)
	Note    bool      // ask for masses and lots before the first addition
	In      io.Reader // instead of standard input
	Out     io.Writer // instead of standard output
}

// Set is the characters to draw with, by the options, then by what the
// environment says of the terminal.
func (o Options) Set(env func(string) string) *widget.Set {
	switch {
	case o.ASCII || !utf8(env) || widget.Width("█") != 1:
		return &widget.ASCII
	case env("TERM") == "linux":
		return &widget.Console
	}
	return &widget.Unicode
}

// utf8 reports whether the locale is one of UTF-8: the first of the three
// variables that is set counts (POSIX, "Locale Environment Variables"). With
// none set it is taken to be, as on Windows and in bare containers.
func utf8(env func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := strings.ToLower(env(name)); v != "" {
			return strings.Contains(v, "utf-8") || strings.Contains(v, "utf8")
		}
	}
	return true
}

func (o Options) in() io.Reader {
	if o.In != nil {
		return o.In
	}
	return os.Stdin
}

// Keys parts runes that were typed so fast that they came together.
func Keys(msg tea.KeyMsg) []string {
	if msg.Type != tea.KeyRunes {
		return []string{msg.String()}
	}
	var out []string
	for _, r := range msg.Runes {
		out = append(out, string(r))
	}
	return out
}

// Idle is what is said of a key that does nothing where it was pressed.
func Idle(key string) string {
	if key == " " {
		key = "Space"
	}
	if r := []rune(key); len(r) == 1 && unicode.IsUpper(r[0]) { // every key of a letter is a small one, but for °C
		return Clean(key) + " does nothing here; is Caps Lock on?"
	}
	return Clean(key) + " does nothing here; ? shows all keys"
}

// Of is the terminal that a stream is, if it is one: other devices, such as what throws
// everything away, are none.
func Of(stream any) (*os.File, bool) {
	f, ok := stream.(*os.File)
	return f, ok && isatty.IsTerminal(f.Fd())
}

// Is reports whether a stream is a terminal.
func Is(stream any) bool {
	_, ok := Of(stream)
	return ok
}

// OnScreen reports whether a screen can be shown on an output, with keys from an input:
// both are terminals, and not one that can show lines only.
func OnScreen(in, out any) bool { return !Dumb() && Is(in) && Is(out) }

// Dumb reports whether the terminal says that it can show lines only.
func Dumb() bool { return os.Getenv("TERM") == "dumb" }
