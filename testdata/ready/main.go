// Command ready works out anew what follows from the tables of law and stands beside them:
//
//	go run ./testdata/ready
//
// It is run from the root of the project whenever a table, the inventory or the way names
// are read has changed.
package main

import (
	"log"
	"os"

	"gallipot/calc/law/table"
)

func main() {
	log.SetFlags(0)
	tables, err := table.Read(os.DirFS("calc/law/data")) // of another folder nothing is ready
	if err != nil {
		log.Fatal(err)
	}
	text, err := table.Ready(tables)
	if err == nil {
		err = os.WriteFile("calc/law/table/ready.txt", []byte(text), 0o644)
	}
	if err != nil {
		log.Fatal(err)
	}
}
