// Command pdfreader writes the reader of PDF that the program carries: the WebAssembly
// file of the library's module without the functions that nothing calls, compressed. As the
// library embeds it, the program would be 3.6 MB larger. Run it after the module has changed,
// or after dossier/transcribe/paper calls another function of it:
//
//	go run ./testdata/pdfreader
package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
)

const (
	target  = "dossier/transcribe/paper/pdfium.wasm.gz"
	callers = "dossier/transcribe/paper"
)

func main() {
	log.SetFlags(0)
	module, err := original(".")
	if err != nil {
		log.Fatal(err)
	}
	lean, left, err := leanReader(".", module)
	if err != nil {
		log.Fatal(err)
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err == nil {
		_, err = w.Write(lean)
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
	log.Printf("%s: %d bytes; %d unpacked of %d, %s", target, packed.Len(), len(lean), len(module), left)
}

// leanReader is the WebAssembly file as the program carries it, and what stayed.
func leanReader(root string, module []byte) (lean []byte, left string, err error) {
	called, err := calledNames(filepath.Join(root, callers))
	if err != nil {
		return nil, "", err
	}
	return withoutUncalled(module, called)
}

// original is the WebAssembly file as the library brings it.
func original(root string) ([]byte, error) {
	list := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/klippa-app/go-pdfium")
	list.Dir = root
	dir, err := list.Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w", err)
	}
	return os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "internal", "pdfium_wasm", "pdfium.wasm"))
}

// quotedName is what may be the name of a function where the reader calls it.
var quotedName = regexp.MustCompile(`"(_?[A-Za-z]\w+)"`)

// calledNames are the names that stand in quotes in the reader of papers: those of all the
// functions that it calls, and other words.
func calledNames(dir string) (map[string]bool, error) {
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, err
	}
	names := map[string]bool{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		for _, m := range quotedName.FindAllStringSubmatch(string(text), -1) {
			names[m[1]] = true
		}
	}
	return names, nil
}
