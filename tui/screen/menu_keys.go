package screen

// MenuKeys are those of a menu; enter is what Enter does.
func MenuKeys(enter string) []Key {
	return []Key{{Name: "↑ ↓", Short: "choose"}, {Name: "Enter", Short: enter}, {Name: "q", Short: "leave"}}
}
