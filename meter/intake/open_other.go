//go:build !unix

package intake

// nonblock is nothing here: there is no FIFO among the files.
const nonblock = 0
