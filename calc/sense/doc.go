// Package sense asks whether a product file agrees with itself: body areas with the
// product type, acids with the pH that they preserve at, densities with what is poured.
package sense
