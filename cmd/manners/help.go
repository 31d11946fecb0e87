package manners

import (
	"io"
	"slices"
	"strings"

	"example.org/halfdrop/meter/phrase"

	"github.com/charmbracelet/lipgloss"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// groups are the commands by what one is at, in the order of the work. A command
// that stands in none of them is a tool.
var groups = []struct {
	title string
	names []string
}{
	{"Make", []string{"plan", "calibrate", "titrate", "advise"}},
	{"Review", []string{"replay", "report", "label", "check", "bench"}},
	{"Train", []string{"practice", "sim", "trial"}},
	{"Tools", []string{"ph", "curve", "find", "ports", "config", "man", "completion", "help"}},
}

// HelpWidth is how wide a page of help is, in columns.
const HelpWidth = 80

// exitStatuses, files and environment are what a page of the manual says of them.
var (
	exitStatuses = [][2]string{
		{"0", "success"}, {"1", "failure"}, {"2", "usage error or invalid file"},
		{"3", "a run ended outside the tolerance, or was not read at rest"},
		{"4", "a journal is damaged"}, {"129, 130, 143", "ended by a hangup, an interrupt or a request to end"},
	}
	usedFiles = [][2]string{
		{"~/.config/halfdrop/config.toml", "defaults of your own; halfdrop config says where it is on this system"},
		{"~/.local/share/halfdrop/runs", "journals of the runs, readable only by you; other systems have another data folder"},
		{"plan.toml", "a plan: what is in the beaker, the bottles and the target; halfdrop plan writes it"},
	}
	usedVariables = [][2]string{
		{ConfigEnv, "another file of defaults"}, {"NO_COLOR", "no colours when it is not empty; bold and shapes stay"},
		{"PAGER", "the program that shows long text on a terminal; cat or empty for none"},
		{"TERM, COLORFGBG, LC_ALL", "what the terminal can show: dumb for lines of text; its background where it does not answer; its characters"},
	}
)

// synopsis is how a command is called, a line for each way: its alternatives are
// those that stand outside of all brackets.
func synopsis(c *cobra.Command) (out []string) {
	name, rest, _ := strings.Cut(c.Use, " ")
	path := strings.TrimSpace(strings.TrimSuffix(c.CommandPath(), name)) + " " + name
	depth, from := 0, 0
	for i := range len(rest) {
		switch rest[i] {
		case '(', '[':
			depth++
		case ')', ']':
			depth--
		case '|':
			if depth == 0 {
				out, from = append(out, strings.TrimSpace(path+" "+strings.TrimSpace(rest[from:i]))), i+1
			}
		}
	}
	out = append(out, strings.TrimSpace(path+" "+strings.TrimSpace(rest[from:])))
	if c.HasAvailableSubCommands() {
		out = append(out, strings.TrimSpace(path)+" COMMAND …")
	}
	for i := range out {
		out[i] = strings.TrimSpace(out[i])
	}
	return out
}

// commandGroup is a group of commands under its title.
type commandGroup struct {
	title    string
	commands []*cobra.Command
}

// sections are the commands below one, grouped when it is the program itself.
func sections(c *cobra.Command) (out []commandGroup) {
	all := slices.DeleteFunc(slices.Clone(c.Commands()), func(s *cobra.Command) bool { return !s.IsAvailableCommand() && s.Name() != "help" })
	if c.HasParent() {
		return []commandGroup{{"Commands", all}}
	}
	for i, g := range groups {
		s := commandGroup{title: g.title}
		for _, name := range g.names {
			if k := slices.IndexFunc(all, func(sub *cobra.Command) bool { return sub.Name() == name }); k >= 0 {
				s.commands = append(s.commands, all[k])
				all = slices.Delete(all, k, k+1)
			}
		}
		if i == len(groups)-1 { // what stands in none
			s.commands = append(s.commands, all...)
		}
		out = append(out, s)
	}
	return out
}

// generics are what the value of a flag is called when its words do not say.
var generics = map[string]string{
	"string": "TEXT", "float": "NUMBER", "float64": "NUMBER", "int": "NUMBER", "uint": "NUMBER", "duration": "TIME",
	"strings": "LIST", "stringArray": "TEXT", "float64Slice": "NUMBERS", "floats": "NUMBERS", "stringToString": "NAME=VALUE",
}

// valueNames are what the values of flags are called that have no name of it in their
// words: units as they are written, else what is named.
var valueNames = map[string]string{
	"ph": "PH", "target": "PH", "tolerance": "PH", "temp": "°C", "bench-temp": "°C", "ml": "mL", "to-ml": "mL", "sample-ml": "mL", "mM": "mM", "ionic": "mM",
	"drop-ul": "µL", "molar": "mol/L", "sd": "%", "molar-sd": "%", "fill": "%", "purity": "%", "kg-water": "kg", "open-air": "ppm", "density": "g/mL",
	"speed": "TIMES", "send": "WHAT", "set": "SET", "coach": "HOW-MUCH", "operator": "NAME", "tier": "NAME", "hands": "HOW", "unweighed": "WHICH",
	"strategies": "NAMES", "listen": "PORT", "run": "NUMBER", "volume-is": "WHAT", "standards": "LIST",
}

// flagText is a flag with the name of its value, and what it does.
func flagText(f *pflag.Flag) (name, does string) {
	value, does := pflag.UnquoteUsage(f)
	shown := strings.ToUpper(value)
	p, generic := generics[value]
	if generic {
		shown = p
	}
	if n, ok := valueNames[f.Name]; ok && (generic || value == n) { // a unit stays as it is written
		shown = n
	}
	name = "--" + f.Name
	if f.Shorthand != "" {
		name = "-" + f.Shorthand + ", " + name
	}
	if f.Value.Type() != "bool" && value != "" {
		name += " " + shown
	}
	switch f.DefValue {
	case "", "false", "0", "[]", "0s", "NaN":
	default:
		does += " (default " + f.DefValue + ")"
	}
	return name, does
}

// flagsOf are the flags of a set that may be shown.
func flagsOf(set *pflag.FlagSet) (out [][2]string) {
	set.VisitAll(func(f *pflag.Flag) {
		if !f.Hidden {
			name, does := flagText(f)
			out = append(out, [2]string{name, does})
		}
	})
	return out
}

// seeAlso are commands that belong to one: those of its group and its own.
func seeAlso(c *cobra.Command) (out []string) {
	if c.HasParent() {
		out = append(out, c.Parent().CommandPath())
	}
	for _, s := range sections(c.Root()) {
		in := slices.ContainsFunc(s.commands, func(x *cobra.Command) bool { return x == c || x == c.Parent() })
		for _, sub := range s.commands {
			if in && sub != c && sub != c.Parent() && sub.Name() != "help" && sub.Name() != "completion" {
				out = append(out, sub.CommandPath())
			}
		}
	}
	return out
}

// WriteHelp writes the help of a command.
func WriteHelp(w io.Writer, c *cobra.Command) {
	var b strings.Builder
	head := func(title string) { b.WriteString("\n" + title + "\n") }
	b.WriteString(hangingText(0, 2, strings.TrimSpace(c.CommandPath())+": "+lowerStart(c.Short)))
	head("Use")
	for _, s := range synopsis(c) {
		b.WriteString(hangingText(2, 4, s))
	}
	if long := strings.TrimSpace(c.Long); long != "" {
		b.WriteString("\n" + reflow(long, HelpWidth) + "\n")
	}
	if c.Example != "" {
		head("Examples")
		b.WriteString(foldCommands(c.Example, HelpWidth-2))
	}
	for _, s := range sections(c) {
		if len(s.commands) == 0 {
			continue
		}
		head(s.title)
		twoColumns(&b, phrase.Each(s.commands, func(sub *cobra.Command) [2]string { return [2]string{sub.Name(), lowerStart(sub.Short)} }), 14)
	}
	if own := flagsOf(c.NonInheritedFlags()); c.HasParent() && len(own) > 0 {
		head("Flags")
		twoColumns(&b, own, 26)
	}
	all := flagsOf(c.InheritedFlags())
	if !c.HasParent() {
		all = flagsOf(c.Flags())
	}
	if len(all) > 0 {
		head("Flags of every command")
		twoColumns(&b, all, 26)
	}
	if !c.HasParent() {
		head("Exit status")
		twoColumns(&b, exitStatuses, 26)
		b.WriteString("\nhalfdrop COMMAND --help has the rest, with examples; halfdrop man the manual.\n")
	}
	io.WriteString(w, b.String())
}

// foldCommands breaks long command lines before a flag, as a shell takes them.
func foldCommands(text string, width int) string {
	var b strings.Builder
	for line := range strings.SplitSeq(strings.Trim(text, "\n"), "\n") {
		for lipgloss.Width(line) > width {
			at := breakAt(line, width)
			if at <= 6 {
				break
			}
			b.WriteString(line[:at] + " \\\n")
			line = "     " + line[at:]
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}

// breakAt is where a command line may go on in the next row: before the last flag that
// begins within the width, else before the last operand; not within quotes.
func breakAt(line string, width int) int {
	flag, word, quoted := 0, 0, false
	for i, r := range line {
		switch {
		case lipgloss.Width(line[:i]) > width-2: // room for the stroke
			if flag > 6 {
				return flag
			}
			return word
		case r == '"':
			quoted = !quoted
		case r == ' ' && !quoted && strings.HasPrefix(line[i:], " --"):
			flag = i
		case r == ' ' && !quoted:
			word = i
		}
	}
	return flag
}

// reflow breaks paragraphs anew; lines that are set in stay as they are.
func reflow(text string, width int) string {
	var out []string
	for para := range strings.SplitSeq(text, "\n\n") {
		if strings.HasPrefix(para, " ") || strings.Contains(para, "\n ") {
			out = append(out, para)
			continue
		}
		out = append(out, strings.Join(phrase.Wrap(strings.Join(strings.Fields(para), " "), width-1), "\n"))
	}
	return strings.Join(out, "\n\n")
}

// lowerStart begins a phrase that goes on after a colon, but for names and signs.
func lowerStart(s string) string {
	if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}

// twoColumns writes names with what they mean beside them, or below where a name is
// longer than the column.
func twoColumns(b *strings.Builder, rows [][2]string, column int) {
	for _, r := range rows {
		lines := phrase.Wrap(r[1], HelpWidth-column-2)
		name := "  " + r[0]
		if gap := column - lipgloss.Width(r[0]); gap > 0 {
			name += strings.Repeat(" ", gap)
		} else {
			name += "\n" + strings.Repeat(" ", column+2)
		}
		b.WriteString(name + strings.Join(lines, "\n"+strings.Repeat(" ", column+2)) + "\n")
	}
}

// hangingText is a text with an indent, and another one from its second line on.
func hangingText(first, more int, text string) string {
	lines := phrase.Wrap(text, HelpWidth-more)
	return strings.Repeat(" ", first) + strings.Join(lines, "\n"+strings.Repeat(" ", more)) + "\n"
}
