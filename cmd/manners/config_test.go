package manners

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTemplateSetsNothing: the file that --create writes changes nothing, and
// without its marks it is valid.
func TestTemplateSetsNothing(t *testing.T) {
	d, err := decodeDefaults("template", configTemplate)
	require.NoError(t, err)
	require.Empty(t, d.values())
	for _, key := range DefaultKeys() {
		assert.Contains(t, string(configTemplate), "# "+key+" = ", "the template explains it")
	}
	var lines []string
	for line := range strings.SplitSeq(string(configTemplate), "\n") {
		if strings.Contains(line, " = ") {
			line = strings.TrimPrefix(line, "# ")
		}
		lines = append(lines, line)
	}
	d, err = decodeDefaults("template", []byte(strings.Join(lines, "\n")))
	require.NoError(t, err)
	require.Len(t, d.values(), len(d.keys()))
}

func TestPagerWords(t *testing.T) {
	for pager, want := range map[string][]string{"": nil, "cat": nil, "less -S": {"less", "-S"}, `"my pager" -x`: {"my pager", "-x"}, "'open": nil} {
		t.Setenv("PAGER", pager)
		assert.Equal(t, want, pagerWords(os.Getenv), pager)
	}
}
