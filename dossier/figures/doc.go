// Package figures writes the figures of a product as JSON, keeps them beside an
// assessment, and compares two of them.
package figures
