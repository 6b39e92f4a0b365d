package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mounted mounts a small disk of its own on a folder, or skips where that is not
// allowed.
func mounted(t *testing.T, dir, options string, flags uintptr) {
	t.Helper()
	require.NoError(t, os.MkdirAll(dir, 0o755))
	if err := syscall.Mount("tmpfs", dir, "tmpfs", flags, options); err != nil {
		t.Skipf("no disk can be mounted here: %v", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) }) // the folder goes with the test
}

// asNobody lets a command run without the rights of the administrator, whom
// permissions do not bind.
func asNobody(cmd *exec.Cmd) {
	if os.Getuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
}

// openToAll lets others into the temporary folder of a test.
func openToAll(t *testing.T, dir string) {
	t.Helper()
	require.NoError(t, os.Chmod(filepath.Dir(dir), 0o755))
}

// writers are the ways to write files into a folder.
var writers = [][]string{{"pack", "tide"}, {"label", "tide", "--pdf"}, {"notification", "tide", "--files"},
	{"weigh", "tide/plain", "--batch", "1kg", "--files"}, {"letters"}}

// TestFullDisk: on a full disk nothing half-written stays, and what was there
// stays as it was.
func TestFullDisk(t *testing.T) {
	dir := shop(t, map[string]string{"ingredients/water.yaml": strings.Replace(shopSheet, "name: Water\n",
		"name: Water\nsupplier: {name: Spring (invented)}\n", 1)})
	out := filepath.Join(dir, "out")
	mounted(t, out, "size=24k", 0)
	put(t, filepath.Join(out, "tide-pack.pdf"), "the old pack\n")
	put(t, filepath.Join(out, "filler"), strings.Repeat("x", 16<<10))
	before, kept := tree(t, dir), outputs(t, out)
	for _, args := range writers {
		o := gallipot(t, append(args, "--workshop", dir, "--out", out, fixedDay)...)
		assert.Equal(t, exitUnreadable, o.code, "%v", args)
		assert.Contains(t, o.err, "cannot be written: the disk is full; what was there is unchanged\n  fix: make room, or name a folder on another disk with --out\n", "%v", args)
		if args[0] != "letters" { // of several letters, those before the one that found no room stay
			sameOutputs(t, kept, outputs(t, out), args[0])
		}
		assert.Empty(t, unfinishedIn(out))
	}
	assert.Equal(t, before, tree(t, dir))
	for _, verb := range []string{"begin", "demo"} {
		o := gallipot(t, verb, filepath.Join(out, "new"))
		assert.Equal(t, exitUnreadable, o.code, verb)
		assert.Contains(t, o.err, "the disk is full")
		assert.NoDirExists(t, filepath.Join(out, "new"), "nothing half-written stays")
	}
}

// TestSmallFiles: where files may not grow as large as a pack, the same.
func TestSmallFiles(t *testing.T) {
	dir := shop(t, nil)
	out := filepath.Join(dir, "out")
	gallipot(t, "pack", "tide", "--workshop", dir, fixedDay)
	put(t, filepath.Join(dir, "products", "tide.yaml"), strings.Replace(shopProduct, "name: Tide", "name: Neap", 1))
	before, kept := tree(t, dir), outputs(t, out)
	o := process(t, func(cmd *exec.Cmd) {
		cmd.Args = append([]string{"sh", "-c", `ulimit -f 8; exec "$0" "$@"`, cmd.Path}, cmd.Args[1:]...)
		cmd.Path, _ = exec.LookPath("sh") // there is one on Linux
	}, "pack", "tide", "--workshop", dir, fixedDay)
	assert.Equal(t, exitUnreadable, o.code, o.err)
	assert.Contains(t, o.err, "a file there may not be so large; what was there is unchanged\n  fix: ")
	sameOutputs(t, kept, outputs(t, out), "files may not grow")
	assert.Equal(t, before, tree(t, dir))
}

// TestCutOutput: what could not be printed to its end is no success.
func TestCutOutput(t *testing.T) {
	dir := shop(t, nil)
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	require.NoError(t, err)
	defer full.Close()
	for _, args := range [][]string{{"check"}, {"check", "--json"}, {"figures", "tide"}, {"label", "tide"},
		{"label", "tide", "--csv"}, {"weigh", "tide/plain", "--batch", "1kg"}, {"notification", "tide"}, {"batch"},
		{"stability"},
		{"stability", "--ics"}, {"figures", "tide", "--json"}} {
		var errout strings.Builder
		code := run(append(args, "--workshop", dir), nil, full, &errout, 20261125)
		assert.Equal(t, exitUnreadable, code, "%v", args)
		assert.Equal(t, "gallipot: what is printed could not be written to its end: the disk is full\n  fix: make room where it goes, and run this again\n", errout.String(), "%v", args)
	}
}

// TestReadOnly: into a folder that may only be read nothing is written, and the
// message says what to do.
func TestReadOnly(t *testing.T) {
	program, dir := built(t), shop(t, map[string]string{"out/keep.txt": "x"})
	openToAll(t, dir)
	out := filepath.Join(dir, "out")
	require.NoError(t, os.Chmod(out, 0o555))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "batches"), 0o755))
	require.NoError(t, os.Chmod(filepath.Join(dir, "batches"), 0o555))
	before := tree(t, dir)
	nobody := func(cmd *exec.Cmd) { cmd.Path = program; asNobody(cmd) }
	for _, args := range append(writers, []string{"weigh", "tide/plain", "--batch", "1kg", "--record"}) {
		if args[0] == "letters" {
			continue // there is nobody to write to
		}
		o := process(t, nobody, append(args, "--workshop", dir, fixedDay)...)
		assert.Equal(t, exitUnreadable, o.code, "%v", args)
		assert.Contains(t, o.err, "cannot be written: no permission; what was there is unchanged\n  fix: give yourself the right to write into ", "%v", args)
	}
	assert.Equal(t, before, tree(t, dir))
	assert.Equal(t, []string{"keep.txt"}, names(outputs(t, out)))
	assert.Empty(t, outputs(t, filepath.Join(dir, "batches")))

	disk := filepath.Join(t.TempDir(), "disk")
	mounted(t, disk, "size=1m", syscall.MS_RDONLY)
	o := gallipot(t, "pack", "tide", "--workshop", dir, "--out", disk, fixedDay)
	assert.Equal(t, exitUnreadable, o.code)
	assert.Contains(t, o.err, "the disk can only be read; what was there is unchanged\n  fix: name a folder on another disk with --out\n")
}

// TestUnreadable: a file or folder that may not be read is named, and the others
// are read all the same.
func TestUnreadable(t *testing.T) {
	program := built(t)
	for _, name := range []string{"workshop.yaml", "ingredients/water.yaml", "products/tide.yaml",
		"batches/T1.yaml", "limits/house.csv", "ingredients", "products", "batches", "limits"} {
		dir := shop(t, map[string]string{"batches/T1.yaml": "code: T1\n", "limits/house.csv": limitHead,
			"ingredients/broken.yaml": "id: [\n"})
		openToAll(t, dir)
		before := tree(t, dir)
		locked := filepath.Join(dir, name)
		info, err := os.Stat(locked)
		require.NoError(t, err)
		require.NoError(t, os.Chmod(locked, 0))
		o := process(t, func(cmd *exec.Cmd) { cmd.Path = program; asNobody(cmd) }, "check", "--workshop", dir)
		require.NoError(t, os.Chmod(locked, info.Mode().Perm()))
		assert.Equal(t, exitUnreadable, o.code, name)
		said(t, o, name, "unreadable-file")
		assert.Contains(t, o.out+o.err,
			name+": stop[unreadable-file]: it cannot be opened, because you are not allowed to read it")
		if name != "ingredients" {
			said(t, o, "ingredients/broken.yaml:1:5", "yaml-syntax")
		}
		assert.Equal(t, before, tree(t, dir))
	}
}

// TestPipes: a pipe in place of a file would keep a reader waiting for ever.
func TestPipes(t *testing.T) {
	for _, name := range []string{"workshop.yaml", "ingredients/water.yaml", "products/tide.yaml",
		"batches/T1.yaml", "limits/house.csv", "evidence/sds.pdf"} {
		dir := shop(t, nil)
		path := filepath.Join(dir, name)
		_ = os.Remove(path) // it may not be there
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, syscall.Mkfifo(path, 0o644))
		before := tree(t, dir)
		for _, args := range [][]string{{"check"}, {"check", "--json"}, {"pack", "tide", "--out", t.TempDir()}} {
			o := gallipot(t, append(args, "--workshop", dir)...)
			if name != "evidence/sds.pdf" {
				assert.Equal(t, exitUnreadable, o.code, name)
				said(t, o, name, "unreadable-file")
			} else if len(args) == 1 {
				assert.Contains(t, o.out, "ask[evidence-missing]")
			}
		}
		assert.Equal(t, before, tree(t, dir))
	}
	pipe := filepath.Join(t.TempDir(), "figures.json")
	require.NoError(t, syscall.Mkfifo(pipe, 0o644))
	o := gallipot(t, "compare", pipe, shop(t, nil))
	assert.Equal(t, exitUnreadable, o.code)
	assert.Contains(t, o.err, "it is a folder, a pipe or a device, not a file")
}

// TestPaperWithoutPermission: a paper that may not be read is not on hand.
func TestPaperWithoutPermission(t *testing.T) {
	dir := shop(t, nil)
	openToAll(t, dir)
	require.NoError(t, os.Chmod(filepath.Join(dir, "evidence", "sds.pdf"), 0))
	program := built(t)
	o := process(t, func(cmd *exec.Cmd) { cmd.Path = program; asNobody(cmd) }, "check", "--workshop", dir)
	assert.Equal(t, exitClean, o.code, o.err)
	assert.Contains(t, o.out, "ingredients/water.yaml:4:31: ask[evidence-missing]: evidence/sds.pdf: the file cannot be read (no permission), so the document is not on hand\n")
}

// bytesRead is how many bytes this process has read from files and pipes so far, by the
// count of the kernel (proc(5), rchar).
func bytesRead(t *testing.T) (n int64) {
	t.Helper()
	data, err := os.ReadFile("/proc/self/io")
	if err != nil {
		t.Skipf("the kernel does not count: %v", err)
	}
	_, err = fmt.Sscanf(string(data), "rchar: %d", &n)
	require.NoError(t, err)
	return n
}

// TestHugePaperIsNotRead: of a paper that is larger than any document no byte is read,
// whatever asks for it. A terabyte would take hours; the files are sparse and take no room.
func TestHugePaperIsNotRead(t *testing.T) {
	var out bytes.Buffer
	require.Equal(t, exitClean, run([]string{"check", "--workshop", shop(t, nil)}, nil, &out, &out, 20261125)) // the tables are read
	for _, size := range []int64{1<<30 + 1, 1 << 40} {
		dir := shop(t, nil)
		require.NoError(t, os.Truncate(filepath.Join(dir, "evidence", "sds.pdf"), size))
		for _, args := range [][]string{{"check"}, {"figures", "tide", "--json"}, {"pack", "tide", "--with-papers"},
			{"pack", "tide", "--with-papers=folder"}, {"letters"}, {"batch"}} {
			before := bytesRead(t)
			assert.LessOrEqual(t, run(append(args, "--workshop", dir), nil, &out, &out, 20261125), exitStop, "%v", args)
			assert.Less(t, bytesRead(t)-before, int64(1<<20), "%v with %d bytes", args, size)
		}
	}
}
