//go:build linux || darwin

package station

import (
	"errors"
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/serial/tty"
	"github.com/creack/pty"
	"golang.org/x/sys/unix"
)

// pseudoTerminal is a virtualPort. Its far end stays open here, so that the
// name leads somewhere also while nobody listens.
type pseudoTerminal struct {
	near, far *os.File
	link      string
	once      sync.Once
	err       error
}

// OpenPort makes a pseudo-terminal, and a link to it unless link is "".
func OpenPort(link string) (Port, error) {
	p, err := newPseudoTerminal()
	if err != nil {
		return nil, fmt.Errorf("sim: no pseudo-terminal: %w", err)
	}
	if link != "" {
		if err := linkTo(link, p.far.Name()); err != nil {
			p.Close()
			return nil, remedy.With(fmt.Errorf("sim: %w", err), "give another path with --link")
		}
		p.link = link
	}
	go io.Copy(io.Discard, p.near) // questions to the meter are not answered
	return p, nil
}

func newPseudoTerminal() (*pseudoTerminal, error) {
	master, far, err := pty.Open()
	if err != nil {
		return nil, err
	}
	defer master.Close()
	if err := tty.Silence(int(far.Fd())); err != nil {
		return nil, errors.Join(err, far.Close())
	}
	// A line that nobody reads fills up. Only a descriptor that does not block
	// has deadlines, and only one made so from the start.
	fd, err := unix.FcntlInt(master.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err == nil {
		err = unix.SetNonblock(fd, true)
	}
	if err != nil {
		return nil, errors.Join(err, far.Close())
	}
	return &pseudoTerminal{near: os.NewFile(uintptr(fd), master.Name()), far: far}, nil
}

// linkTo makes a symbolic link; an older one of the same name is replaced,
// anything else is left alone.
func linkTo(link, target string) error {
	if info, err := os.Lstat(link); err == nil {
		if info.Mode()&os.ModeSymlink == 0 {
			return fmt.Errorf("%s exists and is not a link", link)
		}
		if err := os.Remove(link); err != nil {
			return err
		}
	}
	return os.Symlink(target, link)
}

// Name is the link, or the device when there is none.
func (p *pseudoTerminal) Name() string {
	if p.link != "" {
		return p.link
	}
	return p.far.Name()
}

// writeWait is how long a full line is waited for; then what was to be sent is
// lost, as on a real line.
const writeWait = 50 * time.Millisecond

// Write sends what can be sent.
func (p *pseudoTerminal) Write(b []byte) (int, error) {
	if err := p.near.SetWriteDeadline(time.Now().Add(writeWait)); err != nil {
		return 0, err
	}
	if n, err := p.near.Write(b); err != nil && !errors.Is(err, os.ErrDeadlineExceeded) {
		return n, err
	}
	return len(b), nil
}

// Close ends the port and takes the link away, when it is still ours.
func (p *pseudoTerminal) Close() error {
	p.once.Do(func() {
		if to, err := os.Readlink(p.link); p.link != "" && err == nil && to == p.far.Name() {
			p.err = os.Remove(p.link)
		}
		p.err = errors.Join(p.err, p.near.Close(), p.far.Close())
	})
	return p.err
}
