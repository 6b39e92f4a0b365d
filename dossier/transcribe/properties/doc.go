// Package properties reads impurities, physical data and the results of an analysis,
// from tables and from lines such as "Flash point: 72 °C".
package properties
