// Package parallel does several things at once, each on its own, and waits for all
// of them.
package parallel
