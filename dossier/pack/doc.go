// Package pack builds the assessor's pack section by section, and the figures that a
// terminal shows. Start at [Build] and [Figures].
package pack
