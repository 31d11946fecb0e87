// Package standards are the standard buffers of calibrations: what each is worth at a
// temperature, with its source, which set it belongs to, and which of them enclose an aim.
package standards
