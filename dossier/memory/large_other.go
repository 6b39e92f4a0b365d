//go:build !linux

package memory

// large does nothing: only Linux is known to give large pages to who asks for them.
func large() {}
