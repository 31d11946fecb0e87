package manners

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"
)

// Offer offers words after a flag, when the command has it and nothing is
// offered yet.
func Offer(c *cobra.Command, name string, words func() []string) {
	if c.Flags().Lookup(name) == nil && c.PersistentFlags().Lookup(name) == nil {
		return
	}
	_ = c.RegisterFlagCompletionFunc(name, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return words(), cobra.ShellCompDirectiveNoFileComp
	})
}

// OfferArgs offers words for the first operand of a command.
func OfferArgs(c *cobra.Command, words func() []string) {
	c.ValidArgsFunction = func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return words(), cobra.ShellCompDirectiveNoFileComp
	}
}

// OfferList offers words after a flag that takes several with commas, each once.
func OfferList(c *cobra.Command, name string, words func() []string) {
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
