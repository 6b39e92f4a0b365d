package testdata

import "os"

// Long says whether long tests run, which GALLIPOT_LONG=1 asks for and .ci/run sets. Without
// it all take what fits into a minute on two cores.
func Long() bool { return os.Getenv("GALLIPOT_LONG") == "1" || Night() }

// Night says whether tests take what only a night has room for: GALLIPOT_LONG=night,
// which .ci/long sets.
func Night() bool { return os.Getenv("GALLIPOT_LONG") == "night" }

// Lengths is how many cases a test takes whose full length has room in a night alone: a few, a
// sample for .ci/run, or all.
func Lengths(few, sample, all int) int {
	if Night() {
		return all
	}
	return Cases(few, sample)
}

// Cases is how many cases a test takes: all at full length, else a few.
func Cases(few, all int) int {
	if Long() {
		return all
	}
	return few
}
