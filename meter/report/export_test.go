package report

// Noted are the masses and lots of a record, in lines.
func Noted(rec *Record) (out []string) {
	for _, r := range rec.noted() {
		out = append(out, r.Name+": "+r.Text)
	}
	return out
}
