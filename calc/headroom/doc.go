// Package headroom finds the highest content at which every rule still holds, and the
// contents at which the label changes.
package headroom
