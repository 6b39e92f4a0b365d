//go:build ignore

// Generate packs the lists under data/ into data/inventory.bin.
package main

import (
	"log"
	"os"

	"gallipot/ingredients/inventory"
)

func main() {
	log.SetFlags(0)
	var tables [3][]byte
	for i, name := range []string{"inci-inventory.csv", "inci-synonyms.csv", "inci-functions.csv"} {
		data, err := os.ReadFile("data/" + name)
		if err != nil {
			log.Fatal(err)
		}
		tables[i] = data
	}
	packed, err := inventory.Pack(tables[0], tables[1], tables[2])
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile("data/inventory.bin", packed, 0o644); err != nil {
		log.Fatal(err)
	}
}
