package intake

import (
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// Place is a line and a column of a file, from 1.
type Place struct{ Line, Column int }

// Places finds the keys of a TOML text: "beaker.start_ml", "titrant[1].molar",
// and the tables: "beaker", "titrant[1]".
func Places(text []byte) map[string]Place {
	out := map[string]Place{}
	count := map[string]int{}
	var p unstable.Parser
	p.Reset(text)
	prefix := ""
	for p.NextExpression() {
		n := p.Expression()
		var parts []string
		at := Place{}
		for it := n.Key(); it.Next(); {
			k := it.Node()
			if at.Line == 0 {
				start := p.Shape(k.Raw).Start
				at = Place{start.Line, start.Column}
			}
			parts = append(parts, strings.ToLower(string(k.Data)))
		}
		key := strings.Join(parts, ".")
		switch n.Kind {
		case unstable.Table:
			prefix = key + "."
			out[key] = at
		case unstable.ArrayTable:
			count[key]++
			key = fmt.Sprintf("%s[%d]", key, count[key])
			prefix = key + "."
			out[key] = at
		case unstable.KeyValue:
			out[prefix+key] = at
		}
	}
	return out
}

// Nearest is the place of a key, or of the table that should hold it; line 1 when
// there is none.
func Nearest(places map[string]Place, key string) Place {
	for i := len(key); i > 0; i = strings.LastIndexByte(key, '.') {
		key = key[:i]
		for _, k := range []string{key, key + "[1]"} {
			if p, ok := places[k]; ok {
				return p
			}
		}
	}
	return Place{1, 1}
}
