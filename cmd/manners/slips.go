package manners

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// OwnWords has a command and those below it say in the words of this program what is
// missing, left over or misspelt.
func OwnWords(c *cobra.Command) {
	if takes := c.Args; takes != nil {
		c.Args = func(cmd *cobra.Command, args []string) error {
			if err := takes(cmd, args); err != nil {
				return argsError(cmd, args)
			}
			return nil
		}
	}
	c.SetFlagErrorFunc(flagError)
	for _, sub := range c.Commands() {
		OwnWords(sub)
	}
}

// operands are the words of a synopsis that are no flags and no values of flags.
func operands(c *cobra.Command) (out []string) {
	skip := false
	for _, word := range strings.Fields(c.Use)[1:] {
		flag := strings.HasPrefix(strings.TrimLeft(word, "(["), "-")
		if !flag && !skip && word != "|" {
			out = append(out, word)
		}
		skip = flag && !strings.HasSuffix(word, "]") && !strings.HasSuffix(word, ")")
	}
	return out
}

// argsError says what is wrong with the operands of a command.
func argsError(c *cobra.Command, args []string) error {
	see := "see " + c.CommandPath() + " --help"
	want := operands(c)
	switch {
	case len(args) > 0 && c.HasAvailableSubCommands():
		err := fmt.Errorf("there is no command %q", c.CommandPath()+" "+args[0])
		if like := commandsLike(c, args[0]); len(like) > 0 {
			return remedy.Call(err, "did you mean "+c.CommandPath()+" "+strings.Join(like, " or "+c.CommandPath()+" ")+"?")
		}
		if with := commandsWith(c, args[0]); with != "" {
			return remedy.Call(err, with)
		}
		return remedy.Call(err, see)
	case len(want) > len(args) && len(want) > 0:
		return remedy.Call(fmt.Errorf("%s: %s is missing", c.CommandPath(), strings.Trim(want[len(args)], "[]….")), "as in "+firstExample(c))
	case len(want) == 0:
		if c.Flags().Lookup("plan") != nil && strings.HasSuffix(args[0], ".toml") {
			see = "a plan is given with --plan " + args[0]
		}
		return remedy.Call(fmt.Errorf("%s: %q is one too many; it takes only flags", c.CommandPath(), args[0]), see)
	}
	return remedy.Call(fmt.Errorf("%s: %q is one too many", c.CommandPath(), args[len(args)-1]), "as in "+firstExample(c))
}

// Command is the command that words name below one, for its help or its page.
func Command(below *cobra.Command, words []string) (*cobra.Command, error) {
	at := below
	for i, word := range words {
		found := slices.IndexFunc(at.Commands(), func(sub *cobra.Command) bool { return sub.Name() == word })
		switch {
		case found >= 0:
			at = at.Commands()[found]
		case at.HasAvailableSubCommands():
			return nil, argsError(at, words[i:])
		default:
			return nil, remedy.Call(fmt.Errorf("there is no command %q", at.CommandPath()+" "+word), "see "+at.CommandPath()+" --help")
		}
	}
	return at, nil
}

// firstExample is the first example of a command, else its synopsis.
func firstExample(c *cobra.Command) string {
	line, _, _ := strings.Cut(strings.TrimSpace(c.Example), "\n")
	return cmp.Or(line, synopsis(c)[0])
}

// near reports whether a word may be meant by another: one slip in a short word, two in
// a longer one, or its beginning.
func near(meant, typed string) bool {
	meant, typed = strings.ToLower(meant), strings.ToLower(typed)
	allowed := min(2, len(typed)/3)
	return allowed > 0 && (phrase.Slips(meant, typed) <= allowed || strings.HasPrefix(meant, typed))
}

// commandsLike are the commands below one that a misspelt one may have meant.
func commandsLike(c *cobra.Command, name string) (out []string) {
	for _, sub := range c.Commands() {
		if !sub.Hidden && near(sub.Name(), name) {
			out = append(out, sub.Name())
		}
	}
	return out
}

// commandsWith is what may be done with what was given in the place of a command: a
// journal, a plan or a pH; empty when nothing is known.
func commandsWith(c *cobra.Command, given string) string {
	_, notANumber := strconv.ParseFloat(given, 64)
	switch {
	case c.Name() == "plan" && notANumber == nil:
		return "the pH wanted in use is given with --ph " + given
	case c.HasParent():
	case strings.HasSuffix(given, ".jsonl"):
		return "halfdrop replay " + given + " looks back on a run; halfdrop titrate --resume " + given + " continues one"
	case strings.HasSuffix(given, ".csv"):
		return "halfdrop replay " + given + " reads the log of another program"
	case strings.HasSuffix(given, ".toml"):
		return "halfdrop titrate --plan " + given + " runs a plan; halfdrop curve --plan " + given + " shows its curve"
	}
	return ""
}

var (
	shortFlag   = regexp.MustCompile(`^unknown shorthand flag: '(.)' in -(\S+)$`)
	unknownFlag = regexp.MustCompile(`^unknown flag: (.*)$`)
	badValue    = regexp.MustCompile(`^invalid argument "(.*)" for "(?:-\w, )?(--\S+)" flag: `)
	noValue     = regexp.MustCompile(`^flag needs an argument: (?:'(.)' in |)(--?\S+)`)
)

// elsewhere are flags that a command has under another name than the others.
var elsewhere = map[string]string{
	"ports --port": "a port is named with --listen there, as in halfdrop ports --listen /dev/ttyUSB0",
}

// flagError says what is wrong with a flag.
func flagError(c *cobra.Command, err error) error {
	see := "see " + c.CommandPath() + " --help"
	text := err.Error()
	if m := shortFlag.FindStringSubmatch(text); m != nil {
		what := fmt.Errorf("%s has no flag -%s", c.CommandPath(), m[1])
		if name, _, _ := strings.Cut(m[2], "="); len(m[2]) > 1 && c.Flags().Lookup(name) != nil {
			return remedy.Call(what, "a flag of more than one letter takes two dashes: --"+m[2])
		}
		return remedy.Call(what, see)
	}
	if m := unknownFlag.FindStringSubmatch(text); m != nil {
		what := fmt.Errorf("%s has no flag %s", c.CommandPath(), m[1])
		if like := flagsLike(c, strings.TrimLeft(m[1], "-")); len(like) > 0 {
			return remedy.Call(what, "did you mean --"+strings.Join(like, " or --")+"?")
		}
		if with := elsewhere[c.Name()+" "+m[1]]; with != "" {
			return remedy.Call(what, with)
		}
		return remedy.Call(what, see)
	}
	if m := badValue.FindStringSubmatch(text); m != nil {
		kind := "value"
		if f := c.Flags().Lookup(strings.TrimPrefix(m[2], "--")); f != nil {
			kind = kindOf(f)
		}
		return remedy.Call(fmt.Errorf("%s %q: it takes %s", m[2], m[1], kind), see)
	}
	if m := noValue.FindStringSubmatch(text); m != nil {
		return remedy.Call(fmt.Errorf("%s: its value is missing", m[2]), see)
	}
	return remedy.Call(errors.New(text), see)
}

// kindOf is what a flag takes, in words.
func kindOf(f *pflag.Flag) string {
	switch f.Value.Type() {
	case "float64":
		return "a number, with a decimal point"
	case "uint64", "uint":
		return "a whole number, 0 or more"
	case "int":
		return "a whole number"
	case "float64Slice":
		return "numbers separated by commas"
	case "duration":
		return "a time with its unit, such as 10s or 2m"
	case "bool":
		return "true or false"
	case "stringToString":
		return "NAME=VALUE"
	}
	return "another value"
}

// flagsLike are the flags of a command that a misspelt one may have meant.
func flagsLike(c *cobra.Command, name string) (out []string) {
	name, _, _ = strings.Cut(name, "=")
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if !f.Hidden && near(f.Name, name) {
			out = append(out, f.Name)
		}
	})
	return out
}
