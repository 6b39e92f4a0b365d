package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

// What the maker's folder and the computer may do to the program, and where it is
// tested. Each test compares the maker's files before and after.
//
//   - aliases that grow, deep nesting, NUL bytes, invalid UTF-8, UTF-16, right-to-left
//     marks, empty files, in every kind of file: TestBrokenFiles, TestBrokenTables
//   - mixed line ends, byte order mark, read the same: TestLineEnds
//   - 100 MB, refused by size before it is read, a paper hashed as it streams: TestHugeFiles
//   - Windows paths, "..", links out of the workshop, names of files with control
//     characters: TestWindowsPaths, TestLinksOut, TestNames
//   - days from year 1 to 9999, a clock behind the papers: TestOtherDays, TestClockBehind
//   - full disk, file size limit, cut output, read-only folder and disk, unreadable files,
//     pipes: disk_linux_test.go
//   - kill -9, runs at once, output open elsewhere, files in the way: writing_test.go
//   - eleven hundred single changes, by place and code: inputs_test.go over
//     testdata/hostile/inputs.csv
//   - texts that an output could obey: dossier/document/documenttest/hostile_test.go
//   - papers that are empty, huge, folders or unreadable: TestPapersOnHand
//   - same bytes again, in another folder, zone, locale, on one core and on many: same_test.go
//
// Tests of permissions run the program as another user where they run as root; those
// that mount a disk skip where that is not allowed.

// The files of a small workshop that has nothing wrong with it that would keep
// it from being read.
const (
	shopFile  = "maker: {name: Skerry (invented), address: [Shore Road 1], country: GB}\nmarkets: [GB]\nbalance: {division_g: 0.1}\n"
	shopSheet = "id: water\nname: Water\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n"
	shopPaper = "documents: [{kind: sds, file: evidence/sds.pdf, dated: 2026-01-02}]\n"
	// shopProduct ends with its variants, so that a test can add keys.
	shopProduct = `id: tide
name: Tide
revision: 1
product_type: body-lotion
intended_for: adults
formula:
  basis: percent
  phases:
    - id: A
      lines:
        - {ingredient: water, amount: 100}
variants: [{id: plain, name: Plain}]
label: {shape: rectangle, width_mm: 90, height_mm: 60}
`
	limitHead = "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"
)

// shop writes a small workshop, with files added or replaced.
func shop(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	all := map[string]string{"workshop.yaml": shopFile, "ingredients/water.yaml": shopSheet + shopPaper,
		"products/tide.yaml": shopProduct, "evidence/sds.pdf": "a paper\n"}
	for name, text := range files {
		all[name] = text
	}
	for name, text := range all {
		put(t, filepath.Join(dir, name), text)
	}
	return dir
}

func put(t *testing.T, path, text string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
}

// tree returns everything below a folder, the folders to write into left out: a
// file by the hash of its bytes, a link by where it leads.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		name, _ := filepath.Rel(dir, path)
		switch {
		case err != nil:
			return err
		case name == "out":
			return fs.SkipDir
		case d.Type()&fs.ModeSymlink != 0:
			to, err := os.Readlink(path)
			all[name] = "link to " + to
			return err
		case !d.Type().IsRegular():
			all[name] = d.Type().String()
			return nil
		}
		info, err := d.Info()
		if err != nil || info.Size() > 50<<20 || info.Mode().Perm() == 0 && os.Getuid() != 0 {
			all[name] = fmt.Sprint(info.Size(), info.ModTime())
			return err
		}
		data, err := os.ReadFile(path)
		all[name] = fmt.Sprintf("%x", sha256.Sum256(data))
		return err
	}))
	return all
}

// outcome is what a run left on its streams.
type outcome struct {
	code     int
	out, err string
}

// patience is how long a run may take before it counts as hung, on the slowest
// machine.
const patience = 3 * time.Minute

// gallipot runs the program on a fixed day: in this process, which has the tables read
// already; for a night in one of its own.
func gallipot(t *testing.T, args ...string) outcome {
	t.Helper()
	if testdata.Night() {
		return process(t, nil, args...)
	}
	var out, errout bytes.Buffer
	ended := make(chan int, 1)
	go func() { ended <- run(args, strings.NewReader(""), &out, &errout, 20261125) }()
	select {
	case code := <-ended:
		return outcome{code, out.String(), errout.String()}
	case <-time.After(patience):
		require.Fail(t, "the run hangs", "%v", args)
		return outcome{}
	}
}

// process runs the program in a process of its own, which may be changed before, on a
// fixed day.
func process(t *testing.T, change func(*exec.Cmd), args ...string) outcome {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), patience)
	defer stop()
	cmd := exec.CommandContext(ctx, "gallipot", args...)
	var out, errout bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errout
	if change != nil {
		change(cmd)
	}
	err := cmd.Run()
	require.NoError(t, ctx.Err(), "the run hangs: %v", args)
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		require.NoError(t, err)
	}
	all := out.String() + errout.String()
	require.NotContains(t, all, "panic:", "%v", args)
	require.NotContains(t, all, "goroutine ", "%v", args)
	return outcome{cmd.ProcessState.ExitCode(), out.String(), errout.String()}
}

// said finds the finding of a code at a place in what was printed, and wants it
// to say how to mend it.
func said(t *testing.T, o outcome, place, code string) {
	t.Helper()
	all := o.out + o.err
	at := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(place) + `: stop\[` + code + `\]: .*$`).FindStringIndex(all)
	if at == nil {
		require.Fail(t, "not said", "%s %s in\n%.2000s", place, code, all)
	}
	block, _, _ := strings.Cut(all[at[0]:], "\n\n")
	assert.Contains(t, block, "\n  fix: ")
}

// TestBrokenFiles: a file that is broken, on purpose or not, is refused with its
// place and a remedy, whichever kind of file it is; nothing hangs, nothing is
// written, and the maker's files stay as they are.
func TestBrokenFiles(t *testing.T) {
	bomb := "a: &a [x, x]\nb: &b [*a, *a]\n" + strings.Repeat("c: [*b, *b, *b, *b]\n", 500)
	lines := func(n int) string { return strings.Repeat("#\n", n) }
	cases := []struct{ name, text, place, code string }{
		{"aliases that grow", bomb, ":1:4", "alias-refused"},
		{"nested brackets", "a: " + strings.Repeat("[", 200_000), ":1:", "(yaml-syntax|too-deep)"},
		{"nested groups", "a: " + strings.Repeat("{a: ", 40) + "1" + strings.Repeat("}", 40) + "\n", ":1:", "too-deep"},
		{"nested lists", "a:\n" + strings.Repeat("- ", 100_000) + "1\n", ":2:", "(yaml-syntax|too-deep)"},
		{"zero byte", "a: b\x00c\n", ":1:5", "bad-character"},
		{"only zero bytes", strings.Repeat("\x00", 4096), ":1:1", "bad-character"},
		{"invalid UTF-8", lines(2) + "a: caf\xe9\n", ":3:7", "bad-character"},
		{"half a character", "a: \xe2\x82\n", ":1:4", "bad-character"},
		{"UTF-16", "\xff\xfea\x00:\x00", ":1:1", "bad-character"},
		{"right-to-left mark", lines(1) + "name: Tide\u202e gnp.exe\n", ":2:11", "bad-character"},
		{"right-to-left isolate", "name: \u2067Tide\u2069\n", ":1:7", "bad-character"},
		{"control character", "name: \x1b[2J\n", ":1:7", "bad-character"},
		{"nothing", "", ":1:1", "unreadable-file"},
		{"two documents", "id: a\n---\nid: b\n", ":2:1", "second-document"},
	}
	for _, file := range []string{"workshop.yaml", "ingredients/water.yaml", "products/tide.yaml", "batches/T1.yaml"} {
		for _, c := range cases {
			t.Run(strings.ReplaceAll(file, "/", " ")+"/"+c.name, func(t *testing.T) {
				t.Parallel()
				dir := shop(t, map[string]string{file: c.text})
				before := tree(t, dir)
				o := gallipot(t, "check", "--workshop", dir)
				assert.Equal(t, exitUnreadable, o.code)
				assert.Regexp(t, regexp.QuoteMeta(file+c.place)+`[0-9]*: stop\[`+c.code+`\]`, o.out+o.err)
				assert.Contains(t, o.out+o.err, "\n  fix: ")
				assert.Less(t, len(o.out+o.err), 60_000, "a broken file does not fill the screen")
				assert.Equal(t, before, tree(t, dir))
			})
		}
	}
}

// TestBrokenTables: the same for the maker's own limits, which are CSV.
func TestBrokenTables(t *testing.T) {
	row := "X,own,1,GB,Aqua,,,all,1,,,,,,,,house rule,seen,\n"
	for name, c := range map[string]struct{ text, place string }{
		"zero byte":      {"\x00" + limitHead + row, "limits/house.csv:1:1"},
		"invalid UTF-8":  {limitHead + strings.Replace(row, "Aqua", "Aqu\xe4", 1), "limits/house.csv:2:"},
		"right-to-left":  {limitHead + strings.Replace(row, "Aqua", "Aqua\u202e", 1), "limits/house.csv:2:"},
		"quote open":     {limitHead + strings.Replace(row, "Aqua", `"Aqua`, 1), "limits/house.csv:2:"},
		"endless number": {limitHead + strings.Replace(row, "all,1,", "all,1e999999999,", 1), "limits/house.csv:2:"},
		"long number": {limitHead + strings.Replace(row, "all,1,", "all,"+strings.Repeat("9", 500_000)+",", 1),
			"limits/house.csv:2:"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := shop(t, map[string]string{"limits/house.csv": c.text})
			before := tree(t, dir)
			o := gallipot(t, "check", "--workshop", dir)
			assert.Equal(t, exitUnreadable, o.code, o.out)
			assert.Contains(t, o.out+o.err, c.place)
			assert.Contains(t, o.out+o.err, "\n  fix: ")
			assert.Less(t, len(o.out+o.err), 60_000)
			assert.Equal(t, before, tree(t, dir))
		})
	}
}

// TestLineEnds: however an editor ends lines and marks the encoding, the file
// reads the same.
func TestLineEnds(t *testing.T) {
	plain := map[string]string{"products/tide.yaml": shopProduct,
		"limits/house.csv": limitHead + "X,own,1,GB,Aqua,,,all,1,,,,,,,,house rule,seen,\n"}
	want := gallipot(t, "figures", "tide", "--workshop", shop(t, plain))
	require.Empty(t, want.err)
	mixed := func(s string) string {
		lines := strings.SplitAfter(s, "\n")
		for i := range lines {
			if i%2 == 0 {
				lines[i] = strings.Replace(lines[i], "\n", "\r\n", 1)
			}
		}
		return strings.Join(lines, "")
	}
	for name, change := range map[string]func(string) string{
		"Windows":      func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
		"mixed":        mixed,
		"marked":       func(s string) string { return "\ufeff" + s },
		"marked mixed": func(s string) string { return "\ufeff" + mixed(s) },
		"no last end":  func(s string) string { return strings.TrimSuffix(s, "\n") },
	} {
		t.Run(name, func(t *testing.T) {
			files := map[string]string{}
			for file, text := range plain {
				files[file] = change(text)
			}
			dir := shop(t, files)
			before := tree(t, dir)
			got := gallipot(t, "figures", "tide", "--workshop", dir)
			assert.Equal(t, withoutHashes(want), withoutHashes(got))
			assert.Equal(t, before, tree(t, dir))
		})
	}
}

// withoutHashes takes out the hash of a table, which is that of its bytes.
func withoutHashes(o outcome) outcome {
	o.out = regexp.MustCompile(`[0-9a-f]{12,64}`).ReplaceAllString(o.out, "…")
	return o
}

// TestHugeFiles: a file of 100 MB is refused by its size; it is never decoded.
// The files are sparse and take no room.
func TestHugeFiles(t *testing.T) {
	huge := func(dir, name string) {
		t.Helper()
		path := filepath.Join(dir, name)
		put(t, path, "")
		require.NoError(t, os.Truncate(path, 100<<20))
	}
	for _, name := range []string{"workshop.yaml", "ingredients/water.yaml", "products/tide.yaml",
		"batches/T1.yaml", "limits/house.csv"} {
		dir := shop(t, nil)
		huge(dir, name)
		before := tree(t, dir)
		o := gallipot(t, "check", "--workshop", dir)
		assert.Equal(t, exitUnreadable, o.code)
		said(t, o, name, "file-too-large")
		assert.Contains(t, o.out+o.err, "104857600 bytes")
		assert.Equal(t, before, tree(t, dir))
	}
	dir := shop(t, nil)
	huge(dir, "evidence/sds.pdf") // a paper may be large: it is hashed as it streams by, and not kept
	before := tree(t, dir)
	o := gallipot(t, "figures", "tide", "--workshop", dir, "--json")
	assert.Equal(t, exitClean, o.code, o.err)
	assert.Contains(t, o.out, "20492a4d0d84f8beb1767f6616229f85d44c2827b64bdbfb260ee12fa1109e0e",
		"sha256sum of 100 MB of zero bytes")
	assert.Equal(t, before, tree(t, dir))

	figures := filepath.Join(dir, "figures.json")
	put(t, figures, "")
	require.NoError(t, os.Truncate(figures, 257<<20))
	o = gallipot(t, "compare", figures, dir)
	assert.Equal(t, exitUnreadable, o.code)
	assert.Contains(t, o.err, "269484032 bytes")
	assert.Contains(t, o.err, "\n  fix: ")
}

// TestWindowsPaths: a path as Windows writes it is refused with the way to write
// it, since the workshop has to work on every system.
func TestWindowsPaths(t *testing.T) {
	for path, fix := range map[string]string{
		`evidence\sds.pdf`:             "write evidence/sds.pdf",
		`C:\Users\maker\sds.pdf`:       "/",
		`C:/Users/maker/sds.pdf`:       "copy the file into evidence/",
		`\\server\share\sds.pdf`:       "/",
		`file:///evidence/sds.pdf`:     "copy the file into evidence/",
		`evidence/../../other/sds.pdf`: "copy the file into evidence/",
		`../sds.pdf`:                   "copy the file into evidence/",
		`/etc/hostname`:                "copy the file into evidence/",
		`./evidence/sds.pdf`:           "copy the file into evidence/",
	} {
		dir := shop(t, map[string]string{"ingredients/water.yaml": shopSheet + "documents: [{kind: sds, file: '" + path + "'}]\n"})
		before := tree(t, dir)
		o := gallipot(t, "check", "--workshop", dir)
		assert.Equal(t, exitUnreadable, o.code, path)
		said(t, o, "ingredients/water.yaml:4:31", "evidence-outside")
		assert.Contains(t, o.out, fix, path)
		assert.Equal(t, before, tree(t, dir))
	}
}

// TestNames: names of files that would move the cursor, or turn the direction of
// writing, are shown without that.
func TestNames(t *testing.T) {
	for _, name := range []string{"ingredients/a\x1b[2J.yaml", "products/a\u202eb.yaml", "ingredients/a b.yaml",
		"products/-x.yaml"} {
		dir := shop(t, nil)
		path := filepath.Join(dir, name)
		if os.WriteFile(path, []byte("id: a\n"), 0o644) != nil {
			continue // this system refuses the name
		}
		before := tree(t, dir)
		o := gallipot(t, "check", "--workshop", dir)
		assert.Equal(t, exitUnreadable, o.code)
		assert.NotContains(t, o.out+o.err, "\x1b")
		assert.NotContains(t, o.out+o.err, "\u202e")
		assert.Contains(t, o.out+o.err, "\n  fix: ")
		assert.Equal(t, before, tree(t, dir))
	}
}

// TestLinksOut: nothing is read or written through a link that leads out of the
// workshop, and each is named.
func TestLinksOut(t *testing.T) {
	outside := t.TempDir()
	for name, text := range map[string]string{"workshop.yaml": shopFile, "ingredients/water.yaml": shopSheet,
		"products/tide.yaml": shopProduct, "limits/house.csv": limitHead,
		"batches/T1.yaml":  "code: T1\nproduct: tide\ndate: 2026-01-02\nlines: [{ingredient: water}]\n",
		"evidence/sds.pdf": "x", "out/keep.txt": "x"} {
		put(t, filepath.Join(outside, name), text)
	}
	kept := tree(t, outside)
	for name, want := range map[string]string{
		"workshop.yaml":          "workshop.yaml: stop[unreadable-file]",
		"ingredients/water.yaml": "ingredients/water.yaml: stop[unreadable-file]",
		"products/tide.yaml":     "products/tide.yaml: stop[unreadable-file]",
		"limits/house.csv":       "limits/house.csv: stop[unreadable-file]",
		"batches/T1.yaml":        "batches/T1.yaml: stop[unreadable-file]",
		"evidence/sds.pdf":       "ingredients/water.yaml:4:31: stop[evidence-outside]",
		"ingredients":            "ingredients: stop[unreadable-file]", "products": "products: stop[unreadable-file]",
		"limits":  "limits: stop[unreadable-file]",
		"batches": "batches: stop[unreadable-file]", "evidence": "ingredients/water.yaml:4:31: stop[evidence-outside]",
	} {
		dir := shop(t, nil)
		link := filepath.Join(dir, name)
		require.NoError(t, os.RemoveAll(link))
		require.NoError(t, os.MkdirAll(filepath.Dir(link), 0o755))
		if err := os.Symlink(filepath.Join(outside, name), link); err != nil {
			t.Skip("no links on this system")
		}
		before := tree(t, dir)
		for _, args := range [][]string{{"check"}, {"pack", "tide"}, {"weigh", "tide/plain", "--batch", "1kg", "--record"}} {
			o := gallipot(t, append(args, "--workshop", dir)...)
			assert.Equal(t, exitUnreadable, o.code, "%s %v", name, args)
			assert.Contains(t, o.out+o.err, want, "%s %v", name, args)
			assert.Contains(t, o.out+o.err, "leads outside the workshop", "%s %v", name, args)
			assert.Contains(t, o.out+o.err, "\n  fix: ")
			assert.NotContains(t, o.out+o.err, outside, "what lies outside is not told")
		}
		assert.Equal(t, before, tree(t, dir))
	}
	for _, name := range []string{"out", "out/letters"} {
		dir := shop(t, nil)
		link := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(link), 0o755))
		require.NoError(t, os.Symlink(filepath.Join(outside, "out"), link))
		for _, args := range [][]string{{"pack", "tide"}, {"label", "tide", "--pdf"},
			{"notification", "tide", "--files"}, {"weigh", "tide/plain", "--batch", "1kg", "--files"}, {"letters"}} {
			if name == "out/letters" && args[0] != "letters" {
				continue
			}
			o := gallipot(t, append(args, "--workshop", dir)...)
			assert.Equal(t, exitUnreadable, o.code, "%s %v", name, args)
			assert.Regexp(t, "^gallipot: out(/letters)? leads out of the workshop\n  fix: name the folder it leads to with --out, or put a folder in its place\n$", o.err, "%v", args)
		}
	}
	assert.Equal(t, kept, tree(t, outside))
	list, err := os.ReadDir(filepath.Join(outside, "out"))
	require.NoError(t, err)
	require.Len(t, list, 1, "nothing was written outside")
}

// TestOtherDays: a clock that is wrong by centuries changes which law counts, and
// breaks nothing. The papers and records of the demo are then dated ahead.
func TestOtherDays(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	require.Equal(t, exitClean, gallipot(t, "demo", dir).code)
	before := tree(t, dir)
	days := []string{"0001-01-01", "9999-12-31"}
	if testdata.Long() {
		days = append(days, "1970-01-01", "1999-12-31", "2024-02-29", "2038-01-20")
	}
	for _, day := range days {
		for _, args := range [][]string{{"check"}, {"figures", "heath-wash/duo"}, {"label", "heath-wash"},
			{"batch"}, {"batch", "HW26-003"}, {"stability"}, {"trace", "HW26-003"}, {"notification", "heath-wash"},
			{"letters", "--out", filepath.Join(t.TempDir(), "letters")}, {"pack", "lip-balm", "--out", t.TempDir()}} {
			if args[0] == "pack" && day != days[0] && !testdata.Long() {
				continue
			}
			o := gallipot(t, append(args, "--workshop", dir, "--date", day)...)
			assert.LessOrEqual(t, o.code, exitUnreadable, "%v %s", args, day)
			assert.NotContains(t, o.out, "%!", "%v %s", args, day)
			assert.NotEmpty(t, o.out+o.err)
		}
	}
	assert.Equal(t, before, tree(t, dir))
}

// TestClockBehind: a clock that shows a day before that of a paper is pointed
// out, since the law of the wrong day would count; not where the day is given.
func TestClockBehind(t *testing.T) {
	dir := shop(t, nil)
	const want = "gallipot: this computer's clock says 2026-01-01, and a paper is dated 2026-01-02 (ingredients/water.yaml:4:31)\n" +
		"  fix: set the clock, or give the day with --date; or correct the date of the paper\n"
	for _, args := range [][]string{{"check"}, {"figures", "tide"}} {
		for _, c := range []struct {
			today exact.Date
			more  []string
			want  string
		}{{20260101, nil, want}, {20260102, nil, ""}, {20260101, []string{"--date", "2026-01-01"}, ""}} {
			var out, errout bytes.Buffer
			run(append(append(args[:len(args):len(args)], "--workshop", dir), c.more...), strings.NewReader(""), &out,
				&errout, c.today)
			assert.Equal(t, c.want, errout.String())
			assert.NotEmpty(t, out.String())
		}
	}
}
