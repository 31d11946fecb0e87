package main

import (
	"os"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/trial"
	"example.org/halfdrop/tui"
	"github.com/spf13/cobra"
)

// What a shell may offer after a flag, whichever command it belongs to.
var (
	flagFiles = map[string]string{"plan": "toml", "dialect": "toml", "exercise": "toml", "journal": "jsonl", "html": "html"}
	flagWords = map[string][]string{
		"tier": trial.TierNames(), "hands": {"drip", "at-once"}, "unweighed": {"alone", "mixed"}, "coach": {"full", "ask", "off"}, "send": {"ph", "mv", "both"},
		"background": tui.Grounds, "set": {"technical", "primary", "technical-20", "technical-7.01"}, "way": {"titrate", "salts"},
		"volume-is": {"total", "each", "left", "rise"}, "seed": {"own"},
		"salt": {"NaCl", "KCl"}, "acid": {"HCl"}, "base": {"NaOH", "KOH"},
	}
	// flagLists are those that take several words with commas between them.
	flagLists = map[string]func() []string{
		"avoid":      func() []string { return append(propertyWords(), "temperature") },
		"strategies": strategyNames,
		"standards":  func() []string { return []string{"7.00", "4.01", "10.01", "9.21", "6.86", "1.68"} },
	}
	flagFolders = []string{"folder", "results", "dir"}
)

// completeFlags tells the shells what may follow the flags of a command and of
// those below it.
func completeFlags(c *cobra.Command) {
	for name, kind := range flagFiles {
		if c.Flags().Lookup(name) != nil {
			_ = c.MarkFlagFilename(name, kind) // fails for an unknown flag only
		}
	}
	for _, name := range flagFolders {
		if c.Flags().Lookup(name) != nil {
			_ = c.MarkFlagDirname(name)
		}
	}
	for name, words := range flagWords {
		offer(c, name, func() []string { return words })
	}
	for name, words := range flagLists {
		offerList(c, name, words)
	}
	offer(c, "dropper", dropperNames)
	offer(c, "show", exerciseNames)
	offer(c, "electrode", electrodeNames)
	offer(c, "of", reagentNames)
	switch {
	case readsFiles[c.Name()]:
		c.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"jsonl"}, cobra.ShellCompDirectiveFilterFileExt
		}
	case c.Name() == "practice" && c.ValidArgsFunction == nil:
		offerArgs(c, exerciseNames)
	case c.Name() == "forget" || c.Name() == "state":
		offerArgs(c, benchNames)
	case c.Name() == "dropper":
		offerArgs(c, dropperNames)
	}
	for _, name := range []string{"port", "listen"} {
		offer(c, name, portNames)
	}
	offer(c, "meter", knownMeters)
	offer(c, "buffer", buffers)
	for _, sub := range c.Commands() {
		completeFlags(sub)
	}
}

// offer offers words after a flag, when the command has it and nothing is
// offered yet.
func offer(c *cobra.Command, name string, words func() []string) {
	if c.Flags().Lookup(name) == nil && c.PersistentFlags().Lookup(name) == nil {
		return
	}
	_ = c.RegisterFlagCompletionFunc(name, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return words(), cobra.ShellCompDirectiveNoFileComp
	})
}

// offerArgs offers words for the first operand of a command.
func offerArgs(c *cobra.Command, words func() []string) {
	c.ValidArgsFunction = func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return words(), cobra.ShellCompDirectiveNoFileComp
	}
}

// offerList offers words after a flag that takes several with commas, each once.
func offerList(c *cobra.Command, name string, words func() []string) {
	if c.Flags().Lookup(name) == nil {
		return
	}
	_ = c.RegisterFlagCompletionFunc(name, func(_ *cobra.Command, _ []string, typed string) (out []string, _ cobra.ShellCompDirective) {
		before := typed[:strings.LastIndex(typed, ",")+1]
		said := strings.Split(before, ",")
		for _, w := range words() {
			if !slices.Contains(said, w) {
				out = append(out, before+w)
			}
		}
		return out, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
	})
}

func propertyWords() (out []string) {
	for _, p := range table.PropertyNames() {
		out = append(out, string(p))
	}
	return out
}

func strategyNames() (out []string) {
	for _, s := range append(trial.Strategies(), trial.ByHand()...) {
		out = append(out, s.Name)
	}
	return out
}

func exerciseNames() (out []string) {
	list, err := practice.Exercises()
	if err != nil {
		return nil // a shell has no place for an error
	}
	for _, e := range list {
		out = append(out, e.Name)
	}
	return out
}

func dropperNames() (out []string) {
	list, _, err := shelf.ReadDroppers()
	if err != nil {
		return nil
	}
	for _, d := range list.Dropper {
		out = append(out, d.Name)
	}
	return out
}

// electrodeNames are those that were calibrated under a name.
func electrodeNames() (out []string) {
	path, err := shelf.HistoryFile()
	if err != nil {
		return nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer f.Close()
	h, err := calib.ReadHistory(f)
	if err != nil {
		return nil
	}
	return h.Named()
}

// benchNames are the droppers, bottles and electrodes that are remembered.
func benchNames() (out []string) {
	b, _, err := openBench("")
	if err != nil {
		return nil
	}
	for _, k := range b.Known(time.Now()) {
		out = append(out, k.Bottle, k.Dropper)
	}
	for _, s := range b.Stated {
		out = append(out, s.Bottle)
	}
	for _, r := range b.Runs {
		if r.Electrode != nil {
			out = append(out, r.Electrode.Name)
		}
	}
	slices.Sort(out)
	return slices.DeleteFunc(slices.Compact(out), func(s string) bool { return s == "" })
}

// reagentNames are those of the table.
func reagentNames() (out []string) {
	for _, r := range table.Reagents() {
		out = append(out, r.Name)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// portNames are the serial ports of the machine, and auto.
func portNames() []string {
	names := []string{"auto"}
	list, err := serial.List()
	if err != nil {
		return names // a shell has no place for an error
	}
	for _, p := range list {
		names = append(names, p.Name)
	}
	return names
}

// buffers are the names of the buffering substances.
func buffers() []string {
	var names []string
	for _, r := range table.Reagents() {
		if len(r.Parts) > 0 && r.Solid() && !slices.Contains(names, r.Name) {
			names = append(names, r.Name)
		}
	}
	slices.Sort(names)
	return names
}
