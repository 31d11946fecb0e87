package manners

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"

	"example.org/halfdrop/meter/phrase"
)

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
