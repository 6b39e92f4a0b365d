// Command ready works out anew what follows from the tables of law and stands beside them, and
// packs the long tables of words that papers are read by:
//
//	go run ./testdata/ready
//
// It is run from the root of the project whenever a table, the inventory or the way names
// are read has changed.
package main

import (
	"log"
	"os"
	"path/filepath"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe/lexicon"
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
	if err == nil {
		err = packWords("dossier/transcribe/lexicon")
	}
	if err != nil {
		log.Fatal(err)
	}
}

func packWords(dir string) error {
	for _, name := range lexicon.Tables {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			return err
		}
		packed, err := lexicon.Pack(text)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, name+".gz"), packed, 0o644); err != nil {
			return err
		}
	}
	return nil
}
