// Package testdata holds the demo workshop, so that the demo command, the tests
// and the documentation work on one and the same folder.
//
// Everything in the demo is invented: maker, suppliers, products and figures.
package testdata

import (
	"embed"
)

// Demo is the demo workshop, under the folder "demo". demo/README.txt lists what
// is wrong in it on purpose.
//
//go:embed all:demo
var Demo embed.FS
