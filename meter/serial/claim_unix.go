//go:build unix

package serial

import (
	"errors"
	"fmt"
	"os"
	"os/user"
	"strconv"
	"syscall"

	"golang.org/x/sys/unix"
)

// claim is a lock on the device of a port, held by a descriptor of its own.
type claim struct {
	fd     int
	device uint64
}

// claimPort opens the device without waiting for a carrier and locks it. The
// error is the number of the system, EAGAIN when another program has the lock.
func claimPort(name string) (claim, error) {
	fd, err := unix.Open(name, unix.O_RDWR|unix.O_NOCTTY|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
	if err != nil {
		return claim{}, err
	}
	c := claim{fd: fd, device: device(name)}
	if err := unix.Flock(fd, unix.LOCK_EX|unix.LOCK_NB); errors.Is(err, unix.EAGAIN) {
		c.release()
		return claim{}, err
	}
	return c, nil // a system that cannot lock a device is no reason to refuse it
}

func (c claim) release() { _ = unix.Close(c.fd) }

// holds reports whether the name still leads to the device that was opened: an
// adapter that came back under its name is another device.
func (c claim) holds(name string) bool { return device(name) == c.device }

// device is the number of the device that a name leads to, 0 for none.
func device(name string) uint64 {
	info, err := os.Stat(name)
	if err != nil {
		return 0
	}
	if st, ok := info.Sys().(*syscall.Stat_t); ok {
		return uint64(st.Rdev) //nolint:unconvert // its type differs between systems
	}
	return 0
}

// permissionRemedy names the group to which the port belongs. Ports belong to
// dialout in the Debian family and to uucp in the Arch family.
func permissionRemedy(name string) string {
	group, words := "GROUP", "to which the port belongs, dialout or uucp on most systems"
	if info, err := os.Stat(name); err == nil {
		if st, ok := info.Sys().(*syscall.Stat_t); ok && st.Gid != 0 {
			if g, err := user.LookupGroupId(strconv.Itoa(int(st.Gid))); err == nil {
				group, words = g.Name, g.Name
			}
		}
	}
	return fmt.Sprintf("become a member of the group %s: `sudo usermod -aG %s $USER`, then log out and in again", words, group)
}
