package screen

// MenuKeys are those of a menu; enter is what Enter does.
func MenuKeys(enter string) []Key {
	return []Key{
		{Name: "↑ ↓", Short: "choose", Does: "one row up or down, PgUp and PgDn ten; Home, End; a number goes to its row"},
		{Name: "Enter", Short: enter},
		MoreKeys,
		{Name: "q", Short: "leave", Does: "leave; Esc does the same"},
	}
}

// MoreKeys is the key that lists all keys.
var MoreKeys = Key{Name: "?", Short: "keys", Does: "all keys"}
