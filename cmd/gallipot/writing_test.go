package main

import (
	"bytes"
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// outputs returns the files of a folder by name, unfinished ones too; none where
// there is no folder.
func outputs(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return map[string]string{}
	}
	require.NoError(t, err)
	all := map[string]string{}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		all[e.Name()] = string(data)
	}
	return all
}

// sameOutputs compares without printing whole files.
func sameOutputs(t *testing.T, want, got map[string]string, msg string) {
	t.Helper()
	require.ElementsMatch(t, names(want), names(got), msg)
	for name := range want {
		require.True(t, want[name] == got[name], "%s: %s has other bytes", msg, name)
	}
}

func names(files map[string]string) []string {
	var list []string
	for name := range files {
		list = append(list, name)
	}
	slices.Sort(list)
	return list
}

// unfinished lists what a killed run left.
func unfinished(files map[string]string) []string {
	return slices.DeleteFunc(names(files), func(name string) bool { return !strings.HasSuffix(name, ".part") })
}

// shipped is the name under which this test program is the program that is shipped.
const shipped = "gallipot-shipped"

// built returns the program as it is shipped, where another user may run it.
func built(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), shipped)
	if runtime.GOOS == "windows" {
		name += ".exe"
	}
	self, err := os.Executable()
	require.NoError(t, err)
	program, err := os.ReadFile(self)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(name, program, 0o755))
	require.NoError(t, os.Chmod(filepath.Dir(filepath.Dir(name)), 0o755))
	return name
}

const fixedDay = "--date=2026-11-25"

// TestKilled kills the program 200 times at random moments while it replaces a pack:
// afterwards each file is the old or the new one to the byte, what was left
// unfinished does not pile up, and the next run removes it.
func TestKilled(t *testing.T) {
	kills := testdata.Lengths(4, 20, 200)
	program, dir := built(t), shop(t, nil)
	out := filepath.Join(dir, "out")
	product := filepath.Join(dir, "products", "tide.yaml")
	texts := [2]string{shopProduct, strings.Replace(shopProduct, "name: Tide", "name: Neap", 1)}
	pack := func() *exec.Cmd { return exec.Command(program, "pack", "tide", "--workshop", dir, fixedDay) }
	var versions [2]map[string]string
	var took, writing time.Duration // of a whole run, and from its first unfinished file on
	for i, text := range texts {
		put(t, product, text)
		start := time.Now()
		cmd := pack()
		ended := started(t, cmd)
		began := untilWriting(out, nil, ended)
		if err := <-ended; err != nil {
			require.Equal(t, exitStop, err.(*exec.ExitError).ExitCode())
		}
		took, writing = time.Since(start), max(time.Since(began), time.Millisecond)
		versions[i] = outputs(t, out)
		require.Len(t, versions[i], 4)
	}
	r := rand.New(rand.NewPCG(7, 200))
	reach := 1.0 // how far into a run, or into its writing, a kill may come
	runs, cut, atWork, most, states := 0, 0, 0, 0, map[string]int{}
	for ; cut < kills && runs < 4*kills; runs++ { // some end before their time has come
		i := runs
		put(t, product, texts[i%2])
		before, earlier := tree(t, dir), unfinishedIn(out)
		cmd := pack()
		ended := started(t, cmd)
		if i%3 == 0 {
			time.Sleep(time.Duration(r.Float64() * reach * float64(took)))
		} else { // while files are being written, or shortly after
			untilWriting(out, earlier, ended)
			time.Sleep(time.Duration(r.Float64() * reach * float64(writing)))
		}
		_ = cmd.Process.Kill() // it may have ended
		err := <-ended
		var exit *exec.ExitError
		if errors.As(err, &exit) && !exit.Exited() {
			cut++
			reach += reach / 40
		} else { // too late: the machine has become faster
			reach -= reach / 20
		}
		now := outputs(t, out)
		left := unfinished(now)
		if slices.ContainsFunc(left, func(name string) bool { return !slices.Contains(earlier, name) }) {
			atWork++
		}
		most = max(most, len(left))
		state := ""
		for _, name := range names(versions[0]) {
			switch now[name] {
			case versions[0][name]:
				state += "a"
			case versions[1][name]:
				state += "b"
			default:
				t.Fatalf("kill %d: %s is torn: %d bytes", i, name, len(now[name]))
			}
		}
		states[state]++
		assert.Equal(t, before, tree(t, dir), "kill %d", i)
	}
	t.Logf("%d runs, %d killed before their end, %d of them while files were unfinished, %d such files left at most; what was there then, PDF and spreadsheet: %v; a whole run takes %v, its writing %v", runs, cut, atWork, most, states, took, writing)
	assert.Equal(t, kills, cut, "the kills come in time")
	assert.LessOrEqual(t, most, 4, "unfinished files pile up")
	if err := pack().Run(); err != nil {
		require.Equal(t, exitStop, err.(*exec.ExitError).ExitCode())
	}
	sameOutputs(t, versions[(runs-1)%2], outputs(t, out), "after the kills")
}

// unfinishedIn lists unfinished files without reading them.
func unfinishedIn(dir string) []string {
	entries, _ := os.ReadDir(dir) // none where there is no folder yet
	var list []string
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".part") {
			list = append(list, e.Name())
		}
	}
	return list
}

// started starts a command and returns where its outcome will come.
func started(t *testing.T, cmd *exec.Cmd) chan error {
	t.Helper()
	require.NoError(t, cmd.Start())
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	return ended
}

// untilWriting waits until a run has begun a file that was not there before, or
// has ended.
func untilWriting(dir string, earlier []string, ended chan error) time.Time {
	for len(ended) == 0 {
		if slices.ContainsFunc(unfinishedIn(dir), func(name string) bool { return !slices.Contains(earlier, name) }) {
			break
		}
		time.Sleep(50 * time.Microsecond)
	}
	return time.Now()
}

// TestKilledRecord kills the program while it takes batch codes: every record in
// the workshop is whole.
func TestKilledRecord(t *testing.T) {
	kills := testdata.Lengths(3, 10, 30)
	program, dir := built(t), shop(t, map[string]string{"workshop.yaml": shopFile + "batch_code: \"T{count3}\"\n"})
	weigh := func() *exec.Cmd {
		return exec.Command(program, "weigh", "tide/plain", "--batch", "1kg", "--record", "--workshop", dir, fixedDay)
	}
	start := time.Now()
	first, err := weigh().CombinedOutput()
	if err != nil {
		require.Equal(t, exitStop, err.(*exec.ExitError).ExitCode(), "%s", first)
	}
	took := time.Since(start)
	batches := filepath.Join(dir, "batches")
	want := outputs(t, batches)["T001.yaml"]
	require.NotEmpty(t, want, "%s", first)
	before := tree(t, dir)
	r := rand.New(rand.NewPCG(7, 30))
	for range kills {
		cmd := weigh()
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(r.Int64N(int64(took))))
		_ = cmd.Process.Kill() // it may have ended
		_ = cmd.Wait()
	}
	_ = weigh().Run() // exit code as above
	all := outputs(t, batches)
	assert.Empty(t, unfinished(all))
	for name, text := range all {
		assert.Equal(t, want, strings.ReplaceAll(text, strings.TrimSuffix(name, ".yaml"), "T001"), name)
	}
	after := tree(t, dir)
	for name, hash := range before {
		assert.Equal(t, hash, after[name], name)
	}
}

// TestTwoAtOnce lets several runs write into one folder: all succeed, and the
// files are those of a single run.
func TestTwoAtOnce(t *testing.T) {
	dir := shop(t, nil)
	out := filepath.Join(dir, "out")
	args := []string{"pack", "tide", "--workshop", dir, fixedDay}
	single := process(t, nil, args...)
	want := outputs(t, out)
	before := tree(t, dir)
	for range testdata.Cases(1, 3) {
		var wg sync.WaitGroup
		got := make([]outcome, 4)
		for i := range got {
			wg.Go(func() { got[i] = process(t, nil, args...) })
		}
		wg.Wait()
		for _, o := range got {
			assert.Equal(t, single, o)
		}
		sameOutputs(t, want, outputs(t, out), "several at once")
	}
	assert.Equal(t, before, tree(t, dir))
}

// TestTwoRecordsAtOnce: of several runs that take the next batch code at once,
// none gets a code that another has, and no record is written over.
func TestTwoRecordsAtOnce(t *testing.T) {
	dir := shop(t, map[string]string{"workshop.yaml": shopFile + "batch_code: \"T{count3}\"\n"})
	var wg sync.WaitGroup
	got := make([]outcome, 4)
	for i := range got {
		wg.Go(func() {
			got[i] = process(t, nil, "weigh", "tide/plain", "--batch", "1kg", "--record", "--workshop", dir, fixedDay)
		})
	}
	wg.Wait()
	taken := 0
	for _, o := range got {
		if strings.HasPrefix(o.err, "batches/T") {
			taken++
			continue
		}
		assert.Equal(t, exitUnreadable, o.code)
		assert.Contains(t, o.err, "is there already, and no batch record is overwritten")
	}
	assert.Positive(t, taken)
	assert.Len(t, outputs(t, filepath.Join(dir, "batches")), taken)
}

// TestOpenElsewhere: whoever has an output open goes on seeing it as it was.
func TestOpenElsewhere(t *testing.T) {
	dir := shop(t, nil)
	gallipot(t, "pack", "tide", "--workshop", dir, fixedDay)
	name := filepath.Join(dir, "out", "tide-pack.pdf")
	old, err := os.ReadFile(name)
	require.NoError(t, err)
	reader, err := os.Open(name)
	require.NoError(t, err)
	defer reader.Close()
	put(t, filepath.Join(dir, "products", "tide.yaml"), strings.Replace(shopProduct, "name: Tide", "name: Neap", 1))
	o := gallipot(t, "pack", "tide", "--workshop", dir, fixedDay)
	if strings.Contains(o.err, "another program has it open") {
		t.Skip("this system keeps open files; the message says so")
	}
	var seen bytes.Buffer
	_, err = seen.ReadFrom(reader)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(old, seen.Bytes()))
	now, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.False(t, bytes.Equal(old, now))
}

// TestInTheWay: a file where a folder is wanted, or a folder where a file is
// wanted, is named with a remedy, and stays.
func TestInTheWay(t *testing.T) {
	dir := shop(t, nil)
	put(t, filepath.Join(dir, "blocked"), "mine\n")
	put(t, filepath.Join(dir, "full", "tide-pack.pdf", "mine.txt"), "mine\n")
	before := tree(t, dir)
	for to, want := range map[string]string{"blocked": "is a file, wanted a folder",
		"blocked/deeper": "cannot be written", "full": "a folder has that name"} {
		o := gallipot(t, "pack", "tide", "--workshop", dir, "--out", filepath.Join(dir, to))
		assert.Equal(t, exitUnreadable, o.code)
		assert.Contains(t, o.err, want)
		assert.Contains(t, o.err, "\n  fix: ")
		assert.Empty(t, unfinishedIn(filepath.Join(dir, to)))
	}
	assert.NoFileExists(t, filepath.Join(dir, "full", "tide-pack.xlsx"), "the pair is written whole or not at all")
	assert.Equal(t, before, tree(t, dir))
}
