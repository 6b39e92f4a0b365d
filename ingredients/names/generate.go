//go:build ignore

// Generate packs data/customary-names.csv into data/customary.bin.
package main

import (
	"log"
	"os"

	"gallipot/ingredients/names"
)

func main() {
	log.SetFlags(0)
	table, err := os.ReadFile("data/customary-names.csv")
	if err != nil {
		log.Fatal(err)
	}
	packed, err := names.PackCustomary(table)
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile("data/customary.bin", packed, 0o644); err != nil {
		log.Fatal(err)
	}
}
