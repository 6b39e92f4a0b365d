//go:build !counted

package formula

// counter counts what a memory is asked where the build tag counted is set.
type counter struct{}

func (*counter) add() {}
