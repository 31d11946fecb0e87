//go:build !unix

package serial

// claim is nothing: the system itself opens a port for one program only.
type claim struct{}

func claimPort(string) (claim, error) { return claim{}, nil }

func (claim) release()          {}
func (claim) holds(string) bool { return true }

func permissionRemedy(string) string {
	return "close other programs that use the port, and plug the adapter in again"
}
