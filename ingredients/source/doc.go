// Package source reads the maker's YAML strictly: every value knows its file, line and
// column, and every mistake of a file is reported in one run. Start at [Source] and
// [NewReader].
package source
