// Package layout measures and breaks text, and shares the width of a page out to the
// columns of a table.
package layout
