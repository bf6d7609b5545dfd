//go:build !unix

package ask

// ignoreResize does nothing: there is no signal for a new size.
func ignoreResize() {}
