package phrase

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestPlain: what a person is told of an error has no room of the program, no call of
// the system and no socket in it. The raw texts are those of Go 1.26 and of the TOML
// library, as the program showed them.
func TestPlain(t *testing.T) {
	for raw, plain := range map[string]string{
		"run: the amount must be above zero":                                                                "the amount must be above zero",
		"the command line: titrant[1].reagent: table: unknown reagent \"foo\"":                              "the command line: titrant[1].reagent: unknown reagent \"foo\"",
		"bad.jsonl: journal: it is empty":                                                                   "bad.jsonl: it is empty",
		"run: open nosuch.jsonl: no such file or directory":                                                 "nosuch.jsonl: no such file",
		"read tcp 127.0.0.1:45412->127.0.0.1:4801: read: connection reset by peer":                          "the other side has closed the connection",
		"tcp://h:1: write tcp 10.0.0.1:45412->10.0.0.2:4801: write: broken pipe":                            "tcp://h:1: the other side has closed the connection",
		"tcp://127.0.0.1:99999: dial tcp: address 99999: invalid port":                                      "tcp://127.0.0.1:99999: 99999 is not a port of a network; they go from 1 to 65535",
		"tcp://10.0.0.7:1: dial tcp 10.0.0.7:1: i/o timeout":                                                "tcp://10.0.0.7:1: there is no answer",
		"open adir: is a directory":                                                                         "adir: it is a folder, not a file",
		"read adir: not an ordinary file: it is a folder":                                                   "adir: it is a folder, not a file",
		"read p: not an ordinary file: it is a pipe":                                                        "p: it is a pipe",
		"open run.jsonl: file exists (resume the run, or choose another name)":                              "run.jsonl: it exists already (resume the run, or choose another name)",
		"/any/halfdrop-2859195397/standard input: journal: it is empty":                                     "standard input: it is empty",
		"/nosuchdir/.new-plan.toml-4126079753: no such file":                                                "/nosuchdir/plan.toml: no such file",
		`--speak "x": exec: "x": executable file not found in $PATH`:                                        `--speak "x": no program "x" is installed here`,
		"bad.toml:1:3: unexpected character U+000A at start of value":                                       "bad.toml:1:3: the value is missing after =",
		"run.jsonl:1:1: invalid character at start of key: U+007B '{'":                                      "run.jsonl:1:1: a key cannot begin with '{'",
		"x: invalid character 'o' in literal false (expecting 'a')":                                         "x: this is not JSON, from o on",
		"x: json: cannot unmarshal array into Go value of type protocol.request":                            "x: array where an object in {} is needed",
		"x: json: cannot unmarshal string into Go struct field request.t of type float64":                   "x: t cannot be a string",
		"open /any/x: permission denied (choose a place you may write to)":                                  "/any/x: this is not permitted; choose a place you may write to",
		"read /any/x: too large: more than 256 KiB":                                                         "/any/x: too large: more than 256 KiB",
		"open /any/x: permission denied":                                                                    "/any/x: this is not permitted; see whose it is, or choose another place",
		"journal: /a/b.jsonl: write: no space left on device (free some space on the disk, then try again)": "/a/b.jsonl: the disk is full: free some space on it",
		"write /mnt/x: no space left on device":                                                             "/mnt/x: the disk is full",
		"mkdir hepes.toml/x: not a directory":                                                               "hepes.toml/x: what should be a folder on the way is a file",
		"the end of a report: what is in it, and the run: both stay":                                        "the end of a report: what is in it, and the run: both stay",
		"-:1:1: target.ph: missing":                                                                         "standard input:1:1: target.ph: missing",
		"the folder for x: mkdir /proc/halfdrop: no such file or directory (choose a place)":                "the folder for x: the folder /proc/halfdrop cannot be made (choose a place)",
		"a\nrun: b": "a\nb",
	} {
		assert.Equal(t, plain, Plain(errors.New(raw)).Error())
	}
}

// TestGlued: a number stays with its unit and with its spread, and no other words do.
func TestGlued(t *testing.T) {
	for text, want := range map[string][]string{
		"known to ± 0.02 pH, at 21.0 °C.": {"known", "to", "± 0.02 pH,", "at", "21.0 °C."},
		"+0.02 ± 0.01 pH at the aim":      {"+0.02 ± 0.01 pH", "at", "the", "aim"},
		"wait 15 s or so":                 {"wait", "15 s", "or", "so"},
		"the pH of M and s":               {"the", "pH", "of", "M", "and", "s"},
	} {
		assert.Equal(t, want, Glued(strings.Fields(text)))
	}
}

// TestMinuses: a number below zero has the sign for it; names, ranges and flags keep their
// hyphens.
func TestMinuses(t *testing.T) {
	for text, want := range map[string]string{
		"pH moves -0.012 per °C (-0.01 because)":  "pH moves −0.012 per °C (−0.01 because)",
		"2-amino-2-methyl-1-propanol, 5-10 mM":    "2-amino-2-methyl-1-propanol, 5-10 mM",
		"-1 is a number, --ph 7 a flag, - a dash": "−1 is a number, --ph 7 a flag, - a dash",
	} {
		assert.Equal(t, want, Minuses(text))
	}
}
