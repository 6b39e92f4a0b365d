// Package show narrows an assessment to what one document shows, and holds the cells
// that several documents print alike. Start at [Show].
package show
