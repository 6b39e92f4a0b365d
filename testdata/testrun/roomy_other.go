//go:build !linux

package testrun

const memory = ""

func roomy(string) bool { return false }
