// Package source reads the maker's YAML strictly: every value knows its file, line and
// column, and every mistake of a file is reported in one run. Start at [Source] and
// [NewReader].
//
// # Decisions
//
// 2026-11-25, library path. yaml.v3 is used at the module path where it is kept up
// (go.yaml.in/yaml/v3); the older one is archived. The API is the same.
package source
