package main

import (
	"slices"

	"github.com/spf13/cobra"

	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/trial"
	"example.org/halfdrop/tui/terminal"
)

// What a shell may offer after a flag, whichever command it belongs to.
var (
	flagFiles = map[string]string{"plan": "toml", "dialect": "toml", "exercise": "toml", "journal": "jsonl", "html": "html"}
	flagWords = map[string][]string{
		"tier": trial.TierNames(), "hands": {"drip", "at-once"}, "unweighed": {"alone", "mixed"}, "coach": {"full", "ask", "off"}, "send": {"ph", "mv", "both"},
		"background": terminal.Grounds, "set": {"technical", "primary", "technical-20", "technical-7.01"}, "way": {"titrate", "salts"},
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
		if c.Flags().Lookup(name) != nil && !(c.Name() == "sim" && name == "exercise") { // there a name will do, too
			_ = c.MarkFlagFilename(name, kind) // fails for an unknown flag only
		}
	}
	for _, name := range flagFolders {
		if c.Flags().Lookup(name) != nil {
			_ = c.MarkFlagDirname(name)
		}
	}
	for name, words := range flagWords {
		manners.Offer(c, name, func() []string { return words })
	}
	for name, words := range flagLists {
		manners.OfferList(c, name, words)
	}
	manners.Offer(c, "dropper", shelf.DropperNames)
	manners.Offer(c, "show", exerciseNames)
	if c.Name() == "sim" {
		manners.Offer(c, "exercise", exerciseNames)
	}
	manners.Offer(c, "electrode", shelf.ElectrodeNames)
	manners.Offer(c, "of", reagentNames)
	switch {
	case manners.ReadsFiles[c.Name()]:
		c.ValidArgsFunction = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"jsonl"}, cobra.ShellCompDirectiveFilterFileExt
		}
	case c.Name() == "practice" && c.ValidArgsFunction == nil:
		manners.OfferArgs(c, exerciseNames)
	case c.Name() == "forget" || c.Name() == "state":
		manners.OfferArgs(c, shelf.BenchNames)
	case c.Name() == "dropper":
		manners.OfferArgs(c, shelf.DropperNames)
	}
	for _, name := range []string{"port", "listen"} {
		manners.Offer(c, name, portNames)
	}
	manners.Offer(c, "meter", knownMeters)
	manners.Offer(c, "buffer", buffers)
	for _, sub := range c.Commands() {
		completeFlags(sub)
	}
}

func propertyWords() []string {
	return phrase.Each(table.PropertyNames(), func(p table.Property) string { return string(p) })
}

func strategyNames() []string {
	return phrase.Each(append(trial.Strategies(), trial.ByHand()...), func(s trial.Strategy) string { return s.Name })
}

func exerciseNames() []string {
	list, _ := practice.Exercises() // a shell has no place for an error
	return phrase.Each(list, func(e *practice.Exercise) string { return e.Name })
}

// reagentNames are those of the table.
func reagentNames() []string {
	out := phrase.Each(table.Reagents(), func(r table.Reagent) string { return r.Name })
	slices.Sort(out)
	return slices.Compact(out)
}

// portNames are the serial ports of the machine, and auto.
func portNames() []string {
	list, _ := serial.List() // a shell has no place for an error
	return append([]string{"auto"}, phrase.Each(list, func(p serial.Info) string { return p.Name })...)
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
