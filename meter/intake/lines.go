package intake

import (
	"bufio"
	"context"
	"io"
)

// Lines delivers the lines of an input and closes the channel when it ends.
func Lines(ctx context.Context, in io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for sc := bufio.NewScanner(in); sc.Scan(); {
			select {
			case lines <- sc.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	return lines
}
