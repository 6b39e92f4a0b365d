package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// TestSameBytes runs every verb that prints or writes, on the demo, again and
// again under other circumstances: in another folder, another time zone and
// locale, on one core and on many, with other file times and another order of
// making. All of it has the same bytes each time.
func TestSameBytes(t *testing.T) {
	verbs := [][]string{
		{"check"}, {"check", "--json"}, {"figures", "heath-wash"}, {"figures", "heath-wash", "--json"},
		{"label", "heath-wash"}, {"label", "heath-wash", "--csv"}, {"label", "heath-wash", "--pdf", "--sheet"},
		{"notification", "heath-wash"}, {"notification", "heath-wash", "--files"},
		{"weigh", "heath-wash/duo", "--batch", "2kg"}, {"weigh", "heath-wash/duo", "--batch", "2kg", "--json", "--files"},
		{"batch"}, {"batch", "HW26-003"}, {"batch", "HW26-003", "--json"}, {"trace", "HW26-003", "--csv"},
		{"trace", "HW26-003"}, {"stability"}, {"stability", "--ics"}, {"stability", "--json"},
		{"letters"}, {"law"}, {"pack", "lip-balm", "heath-wash"},
	}
	if !testdata.Long() {
		verbs = [][]string{{"check", "--json"}, {"label", "heath-wash", "--pdf"}, {"pack", "lip-balm"}}
	}
	everything := func(dir string, environment ...string) map[string]string {
		t.Helper()
		if _, err := os.Stat(dir); err != nil {
			require.Equal(t, exitClean, gallipot(t, "demo", dir).code)
		}
		all := map[string]string{}
		for _, args := range verbs {
			full := args
			if args[0] != "law" { // which asks for no workshop and no day
				full = append(args[:len(args):len(args)], fixedDay)
			}
			o := process(t, func(cmd *exec.Cmd) {
				cmd.Dir = dir
				cmd.Env = append(os.Environ(), environment...)
			}, full...)
			require.LessOrEqual(t, o.code, exitStop, "%v: %s", args, o.err)
			all[strings.Join(args, " ")] = fmt.Sprint(o.code, o.out, o.err)
		}
		for name, data := range filesBelow(t, filepath.Join(dir, "out")) {
			all["out/"+name] = data
		}
		return all
	}
	folder := t.TempDir()
	want := everything(filepath.Join(folder, "demo"))
	circumstances := map[string]func() map[string]string{
		"again": func() map[string]string { return everything(filepath.Join(folder, "demo")) },
		"one core, far east": func() map[string]string {
			return everything(filepath.Join(folder, "demo"), "GOMAXPROCS=1", "TZ=Pacific/Kiritimati",
				"LANG=tr_TR.UTF-8", "LC_ALL=tr_TR.UTF-8")
		},
		"another folder, many cores, far west": func() map[string]string {
			return everything(filepath.Join(t.TempDir(), "ein Ordner é", "w"), "GOMAXPROCS=8", "TZ=Pacific/Pago_Pago",
				"LANG=C", "LC_ALL=C", "HOME=/nowhere", "USER=other")
		},
	}
	if !testdata.Long() {
		delete(circumstances, "again") // the others say it too
	}
	for name, again := range circumstances {
		got := again()
		require.ElementsMatch(t, names(want), names(got), name)
		for what := range want {
			require.True(t, want[what] == got[what], "%s: %s differs: %s", name, what, firstDifference(want[what], got[what]))
		}
	}
}

// filesBelow returns the files below a folder by their names in it.
func filesBelow(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		all[filepath.ToSlash(name)] = string(data)
		return err
	}))
	return all
}

// firstDifference shows where two outputs part.
func firstDifference(a, b string) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	part := func(s string) string { return s[max(0, i-40):min(len(s), i+40)] }
	return fmt.Sprintf("byte %d: %q, %q", i, part(a), part(b))
}
