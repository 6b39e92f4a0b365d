package paper

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/rand"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sort"
	"strings"

	"github.com/klippa-app/go-pdfium/webassembly/imports"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
	"github.com/tetratelabs/wazero/imports/wasi_snapshot_preview1"
)

// engine is the reader of PDF: a sandbox without disk and network, compiled when
// the first PDF comes.
type engine struct {
	runtime  wazero.Runtime
	compiled wazero.CompiledModule
	cache    wazero.CompilationCache
	places   chan struct{} // one for each sandbox that may run at once
}

// packedReader is the reader of PDF as the library's module brings it, compressed by
// testdata/pdfreader: what is read once a run may weigh less in the program.
//
//go:embed pdfium.wasm.gz
var packedReader []byte

// readerModule unpacks the reader: some 50 ms beside a start of a second, or of 0.1 s
// from the cache.
func readerModule() ([]byte, error) {
	r, err := gzip.NewReader(bytes.NewReader(packedReader))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// cacheVersion is part of the cache folder's name; raise it when the way of
// compiling changes.
const cacheVersion = "pdf-1"

// sumsFile holds the SHA-256 of each compiled file. What does not agree with it is
// deleted and compiled anew.
const sumsFile = "sha256.txt"

// startEngine compiles the sandbox, or takes the compiled form from the cache
// folder where its hash agrees. cacheDir may be empty: nothing is kept. Where the cache
// is of no use, such as one that another run is just putting in place, it goes without.
func startEngine(cacheDir string, lim Limits) (*engine, error) {
	if cacheDir != "" {
		if e, err := cachedEngine(filepath.Join(cacheDir, "gallipot"), lim); err == nil {
			return e, nil
		}
	}
	e, err := compileEngine("", lim)
	if err != nil {
		return nil, trouble("engine", err)
	}
	return e, nil
}

// cachedEngine starts the sandbox with the cache in a folder. What is compiled anew goes
// into a folder of its own first, so that runs at once do not take it from each other.
func cachedEngine(parent string, lim Limits) (*engine, error) {
	dir := filepath.Join(parent, cacheVersion)
	if proved(dir) {
		e, err := compileEngine(dir, lim)
		if err == nil {
			_ = writeSums(dir) // without it the next start compiles anew
		}
		return e, err
	}
	if err := os.MkdirAll(parent, 0o700); err != nil {
		return nil, err
	}
	fresh, err := os.MkdirTemp(parent, cacheVersion+"-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(fresh)
	e, err := compileEngine(fresh, lim)
	if err != nil {
		return nil, err
	}
	if err := writeSums(fresh); err != nil || proved(dir) {
		return e, nil
	}
	old := fresh + ".old"
	_ = os.Rename(dir, old) // it may not be there
	_ = os.Rename(fresh, dir)
	_ = os.RemoveAll(old)
	return e, nil
}

// compileEngine compiles the sandbox with the cache in a folder; "" for none.
func compileEngine(dir string, lim Limits) (*engine, error) {
	config := wazero.NewRuntimeConfig().
		WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling).
		WithMemoryLimitPages(uint32(lim.Memory >> 16)).
		WithCloseOnContextDone(true)
	e := &engine{}
	if dir != "" {
		c, err := wazero.NewCompilationCacheWithDir(dir)
		if err != nil {
			return nil, err
		}
		e.cache = c
		config = config.WithCompilationCache(c)
	}
	module, err := readerModule()
	if err != nil {
		return nil, trouble("engine", err)
	}
	ctx := context.Background()
	e.runtime = wazero.NewRuntimeWithConfig(ctx, config)
	if err := e.compile(ctx, module); err != nil {
		e.close()
		return nil, err
	}
	e.places = make(chan struct{}, runtime.GOMAXPROCS(0))
	return e, nil
}

// compile compiles the module, with what it wants of its surroundings.
func (e *engine) compile(ctx context.Context, module []byte) (err error) {
	if _, err = wasi_snapshot_preview1.Instantiate(ctx, e.runtime); err != nil {
		return err
	}
	if e.compiled, err = e.runtime.CompileModule(ctx, module); err != nil {
		return err
	}
	_, err = imports.Instantiate(ctx, e.runtime, e.compiled)
	return err
}

// sandbox starts the module for one document, when one of the places is free; leave gives
// the place back and ends it.
func (e *engine) sandbox() (s *sandbox, leave func(), err error) {
	e.places <- struct{}{}
	ctx, stop := context.WithCancel(context.Background())
	mod, err := e.runtime.InstantiateModule(ctx, e.compiled, wazero.NewModuleConfig().WithName("").
		WithStartFunctions("_initialize").WithStdout(io.Discard).WithStderr(io.Discard).
		WithRandSource(rand.Reader).WithFSConfig(wazero.NewFSConfig()))
	if err == nil {
		if s, err = newSandbox(ctx, stop, mod); err == nil {
			return s, func() { s.close(); <-e.places }, nil
		}
		_ = mod.Close(context.Background())
	}
	stop()
	<-e.places
	return nil, nil, trouble("engine", err)
}

func (e *engine) close() {
	_ = e.runtime.Close(context.Background())
	if e.cache != nil {
		_ = e.cache.Close(context.Background())
	}
}

// proved says whether a folder is this user's alone and every file in it has the hash
// that was noted when it was written.
func proved(dir string) bool {
	info, err := os.Lstat(dir)
	if err != nil || runtime.GOOS != "windows" && info.Mode().Perm()&0o022 != 0 {
		return false
	}
	want, err := os.ReadFile(filepath.Join(dir, sumsFile))
	if err != nil {
		return false
	}
	got, err := folderSums(dir)
	return err == nil && got == string(want)
}

func writeSums(dir string) error {
	sums, err := folderSums(dir)
	if err != nil {
		return err
	}
	name := filepath.Join(dir, sumsFile)
	if old, err := os.ReadFile(name); err == nil && string(old) == sums {
		return nil
	}
	tmp, err := os.CreateTemp(filepath.Dir(dir), "sums-*")
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name())
	if _, err = tmp.WriteString(sums); err == nil {
		err = tmp.Close()
	}
	if err != nil {
		return err
	}
	return os.Rename(tmp.Name(), name)
}

// folderSums lists hash and name of every file of the folder but the list itself.
func folderSums(dir string) (string, error) {
	var lines []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == sumsFile {
			return err
		}
		f, err := os.Open(path)
		if err != nil {
			return err
		}
		defer f.Close()
		h := sha256.New()
		if _, err := io.Copy(h, f); err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		lines = append(lines, hex.EncodeToString(h.Sum(nil))+"  "+filepath.ToSlash(rel))
		return err
	})
	sort.Strings(lines)
	return strings.Join(lines, "\n") + "\n", err
}
