// Package store writes whole files or none: files that belong together take their
// names together, and a run that is killed leaves the old ones as they were. It also
// makes folders, opens only what is a plain file, and packs bytes for archives.
//
// # Decisions
//
// 2026-11-25, writing. A new file is written beside its place and takes the name at the
// end; files that belong together are all whole before the first takes its name
// ([WriteFiles]). A run holds its unfinished files (….part) with a lock that ends with
// it, so the next run into the folder removes what a killed one left and nothing of one
// that still runs (hold.go); where there are no such locks, what is an hour old goes. A
// kill between two names of a pair leaves one new and one old file, each whole. A killed
// begin leaves whole files, but not all of them.
package store
