package terminal

import "os"

// Is reports whether a stream is a character device.
func Is(stream any) bool {
	f, ok := stream.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// OnScreen reports whether a screen can be shown on an output, with keys from an input:
// both are terminals, and not one that can show lines only.
func OnScreen(in, out any) bool {
	return os.Getenv("TERM") != "dumb" && Is(in) && Is(out)
}
