package journal

import "encoding/json"

// BothDecoders decodes a line by the fast way, if that takes it, and by
// encoding/json, for a test that compares them.
func BothDecoders(text []byte) (fast Event, taken bool, slow Event, err error) {
	body, sum, ok := split(text)
	if !ok {
		return Event{}, false, Event{}, nil
	}
	fast, taken = decodeReading(body, sum)
	if err = json.Unmarshal(text, &slow); err == nil {
		err = slow.restoreRaw()
	}
	return fast, taken, slow, err
}

// FolderFor is DefaultFolder for any system.
var FolderFor = folderFor

// Last is the sequence number and the sum of the last line.
func (w *Writer) Last() (seq int64, sum string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.seq, w.sum
}
