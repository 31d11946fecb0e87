package phrase

import (
	"errors"
	"regexp"
	"strings"
)

// Plain is an error as a person is told it: without the rooms of the program that it
// has come through, and without calls of the system, addresses of sockets, names of
// temporary files and code points, which nobody can do anything with.
func Plain(err error) error {
	lines := strings.Split(err.Error(), "\n")
	for i, line := range lines {
		for _, r := range plainer {
			line = r.raw.ReplaceAllString(line, r.plain)
		}
		lines[i] = line
	}
	return errors.New(strings.Join(lines, "\n"))
}

// plainer are the raw texts with what is said instead, in the order in which they are
// looked for. Where a system words it otherwise, that wording stands beside it.
var plainer = []struct {
	raw   *regexp.Regexp
	plain string
}{
	{regexp.MustCompile(`(^|: )(?:(?:table|chem|curve|recipe|fit|run|amend|replay|journal|serial|frame|calib|trial|practice|report|sim|station|probe|find|tui|advise): )+`), "$1"},
	{regexp.MustCompile(`(^|[ (])\S*[/\\]halfdrop-\d+[/\\]standard input`), "${1}standard input"},
	{regexp.MustCompile(`^-(:\d+:\d+)?: `), "standard input$1: "},
	{regexp.MustCompile(`[/\\]\.new-(\S+?)-\d+: `), "/$1: "},
	{regexp.MustCompile(`(^|: )exec: "([^"]*)": (?:executable )?file (?:not found in (?:\$PATH|%PATH%)|does not exist)`), `${1}no program "$2" is installed here`},
	{regexp.MustCompile(`(^|: )mkdir (.+?): (?:no such file or directory|permission denied|operation not permitted|read-only file system|Access is denied\.|The system cannot find the path specified\.)`), "${1}the folder $2 cannot be made"},
	{regexp.MustCompile(`(^|: )(?:open|read|stat|lstat|write|mkdir|rename|fork/exec) (.+?): (?:not an ordinary file: )?(?:it )?is a (?:folder|directory)$`), "$1$2: it is a folder, not a file"},
	{regexp.MustCompile(`(^|: )(?:open|read|stat|lstat) (.+?): not an ordinary file: `), "$1$2: "},
	{regexp.MustCompile(`(^|: )(?:open|mkdir|symlink \S+) (.+?): file exists`), "$1$2: it exists already"},
	{regexp.MustCompile(`(^|: )(?:stat|open|lstat|read|mkdir|symlink \S+) (.+): (?:no such file or directory|The system cannot find the (?:file|path) specified\.)$`), "$1$2: no such file"},
	{regexp.MustCompile(`(^|: )(?:open|mkdir|stat|lstat|write|rename|unlink|fork/exec|symlink \S+) (.+?): (?:permission denied|operation not permitted|Access is denied\.|read-only file system)$`), "$1$2: this is not permitted; see whose it is, or choose another place"},
	{regexp.MustCompile(`(^|: )(?:write|close|fsync|sync) (.+?): no space left on device$`), "$1$2: the disk is full"},
	{regexp.MustCompile(`(^|: )write: no space left on device \(free some space on the disk, then try again\)$`), "${1}the disk is full: free some space on it"},
	{regexp.MustCompile(`(^|: )(?:mkdir|open|stat|lstat) (.+?): not a directory$`), "$1$2: what should be a folder on the way is a file"},
	{regexp.MustCompile(`(^|: )(?:open|stat|lstat|mkdir) (.+?): file name too long$`), "$1$2: this name is too long for a file"},
	{regexp.MustCompile(`(^|: )(?:read|write) tcp \S+?->\S+: (?:read|write|wsarecv|wsasend): (?:connection reset by peer|broken pipe|An existing connection was forcibly closed by the remote host\.)`), "${1}the other side has closed the connection"},
	{regexp.MustCompile(`(^|: )(?:read|write|dial) tcp [^ ]*(?:->[^ ]+)?: (?:connect: )?(?:i/o timeout|connection timed out)`), "${1}there is no answer"},
	{regexp.MustCompile(`(^|: )dial tcp: address (\S+): invalid port`), "${1}$2 is not a port of a network; they go from 1 to 65535"},
	{regexp.MustCompile(`(^|: )unexpected character U\+000[AD] at start of value`), "${1}the value is missing after ="},
	{regexp.MustCompile(`(^|: )(?:unexpected|invalid) character at start of (key|value): U\+[0-9A-F]+ ('.*')$`), "${1}a $2 cannot begin with $3"},
	{regexp.MustCompile(`(^|: )invalid character '(.*)' (?:in literal \w+ \(expecting '.'\)|looking for .*|after .*)$`), "${1}this is not JSON, from $2 on"},
	{regexp.MustCompile(`(^|: )(?:unexpected end of JSON input|unexpected EOF)$`), "${1}the line of JSON is cut short"},
	{regexp.MustCompile(`(^|: )json: cannot unmarshal (\w+) into Go value of type \S+$`), "${1}$2 where an object in {} is needed"},
	{regexp.MustCompile(`(^|: )json: cannot unmarshal number (\S+) into Go struct field \S+?\.(\w+) of type \S+$`), "${1}$3 cannot be $2"},
	{regexp.MustCompile(`(^|: )json: cannot unmarshal (\w+) into Go struct field \S+?\.(\w+) of type \S+$`), "${1}$3 cannot be a $2"},
}
