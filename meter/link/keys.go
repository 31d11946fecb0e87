package link

import (
	"io"
	"os"

	"example.org/halfdrop/meter/serial"
)

// Stdin is what a journal calls readings that came on standard input.
const Stdin = "standard input"

// Keys is where a person types: standard input, or the terminal itself when the
// lines of the meter come on standard input. Without a terminal nobody types,
// and the end of the lines is the end of what is typed.
func Keys(port string, in io.Reader) io.Reader {
	if port != serial.Stdin {
		return in
	}
	if tty := Terminal(port); tty != nil {
		return tty
	}
	return nobody{}
}

// nobody types nothing until the lines of the meter have ended.
type nobody struct{}

func (nobody) Read([]byte) (int, error) {
	<-serial.InputEnded()
	return 0, io.EOF
}

// Terminal is the terminal that keys come from when standard input is the meter; nil
// when it is not, or when there is none.
func Terminal(port string) io.Reader {
	if port != serial.Stdin {
		return nil
	}
	if tty, err := os.Open("/dev/tty"); err == nil {
		return tty
	}
	return nil
}
