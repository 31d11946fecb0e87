package manners

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
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

// PlainUsage takes the quotes round the name of a value off the words of every flag: a shell shows
// them beside the flags as they are.
func PlainUsage(c *cobra.Command) {
	plain := func(f *pflag.Flag) { f.Usage = strings.ReplaceAll(f.Usage, "`", "") }
	c.Flags().VisitAll(plain)
	c.PersistentFlags().VisitAll(plain)
	for _, sub := range c.Commands() {
		PlainUsage(sub)
	}
}

// BashWords stands before the script for bash: what that takes from the package
// bash-completion, as simple as it may be, where that is not installed.
const BashWords = `# halfdrop: completion for bash
if ! declare -F _get_comp_words_by_ref >/dev/null 2>&1; then
    _get_comp_words_by_ref() {
        cur=${COMP_WORDS[COMP_CWORD]}
        prev=${COMP_WORDS[COMP_CWORD-1]}
        words=("${COMP_WORDS[@]}")
        cword=$COMP_CWORD
    }
fi
`

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
