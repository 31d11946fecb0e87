package keyrow

// Menu are those of a menu; enter is what Enter does.
func Menu(enter string) []Key {
	return []Key{
		{Name: "↑ ↓", Short: "choose", Does: "one row up or down, PgUp and PgDn ten; Home, End; a number goes to its row"},
		{Name: "Enter", Short: enter},
		More,
		{Name: "q", Short: "leave", Does: "leave; Esc does the same"},
	}
}

// More is the key that lists all keys.
var More = Key{Name: "?", Short: "keys", Does: "all keys"}
