// Command pdfreader writes the reader of PDF that the program carries: the WebAssembly
// file of the library's module, compressed. The library would embed it as it is, which
// makes the program 3 MB larger. Run it after the module has changed:
//
//	go run ./testdata/pdfreader
package main

import (
	"bytes"
	"compress/gzip"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

const target = "dossier/transcribe/paper/pdfium.wasm.gz"

func main() {
	log.SetFlags(0)
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/klippa-app/go-pdfium").Output()
	if err != nil {
		log.Fatal(err)
	}
	name := filepath.Join(strings.TrimSpace(string(dir)), "internal", "pdfium_wasm", "pdfium.wasm")
	module, err := os.ReadFile(name)
	if err != nil {
		log.Fatal(err)
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err == nil {
		_, err = w.Write(module)
	}
	if err == nil {
		err = w.Close()
	}
	if err == nil {
		err = os.WriteFile(target, packed.Bytes(), 0o644)
	}
	if err != nil {
		log.Fatal(err)
	}
	log.Printf("%s: %d bytes of %d", target, packed.Len(), len(module))
}
