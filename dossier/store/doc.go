// Package store writes whole files or none: files that belong together take their
// names together, and a run that is killed leaves the old ones as they were. It also
// makes folders, opens only what is a plain file, and packs bytes for archives.
package store
