package bench

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
)

// heard is what a start says, read while it runs.
type heard struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.b.Write(p)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.b.String()
}

func TestRun(t *testing.T) {
	dir, base := t.TempDir(), t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("../../testdata/demo")))
	opened := make(chan string, 2)
	said := &heard{}
	opt := Options{Dir: dir, Base: base, Now: time.Now, Law: table.Builtin(), Tell: said,
		Today:  func() (exact.Date, bool) { return 20261129, true },
		Browse: func(address string) error { opened <- address; return nil }}
	stop, end := context.WithCancel(context.Background())
	ran := make(chan error, 1)
	go func() { ran <- Run(stop, opt) }()
	first := <-opened
	visit := func(address string) (int, string) {
		jar, err := cookiejar.New(nil)
		require.NoError(t, err)
		client := http.Client{Jar: jar}
		answer, err := client.Get(address)
		require.NoError(t, err)
		defer answer.Body.Close()
		page, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		return answer.StatusCode, string(page)
	}
	t.Run("the browser is let in, once with its code", func(t *testing.T) {
		status, page := visit(first)
		require.Equal(t, http.StatusOK, status)
		require.True(t, strings.Contains(page, "Today, Sunday 29 November"))
		status, _ = visit(first)
		require.Equal(t, http.StatusForbidden, status)
	})
	t.Run("the address that is printed is good until the end", func(t *testing.T) {
		printed := strings.TrimSpace(said.String())
		for range 2 {
			status, _ := visit(printed)
			require.Equal(t, http.StatusOK, status)
		}
	})
	t.Run("a second start opens the one that runs", func(t *testing.T) {
		again := &heard{}
		second := opt
		second.Tell = again
		require.NoError(t, Run(context.Background(), second))
		require.Contains(t, again.String(), "runs already")
		status, _ := visit(<-opened)
		require.Equal(t, http.StatusOK, status)
	})
	t.Run("what is remembered is for its user alone, and outside the workshop", func(t *testing.T) {
		name, err := runningFile(base, dir)
		require.NoError(t, err)
		info, err := os.Stat(name)
		require.NoError(t, err)
		if runtime.GOOS != "windows" {
			require.Zero(t, info.Mode().Perm()&0o077)
		}
		require.False(t, strings.HasPrefix(name, dir))
		require.Equal(t, dir, readRecent(base)[0].Dir)
	})
	t.Run("pages for reading stand beside it and need no token", func(t *testing.T) {
		until, stopped := context.WithCancel(context.Background())
		reading := opt
		reading.ReadOnly, reading.Tell = true, io.Discard
		done := make(chan error, 1)
		go func() { done <- Run(until, reading) }()
		address := <-opened
		require.NotContains(t, address, "token")
		status, page := visit(address)
		require.Equal(t, http.StatusOK, status)
		require.Contains(t, page, "For reading only")
		answer, err := http.Post(address+"undo", "text/plain", nil)
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
		require.Equal(t, http.StatusMethodNotAllowed, answer.StatusCode)
		stopped()
		require.NoError(t, <-done)
		require.NotEmpty(t, askRunning(base, dir), "the workbench goes on")
	})
	end()
	require.NoError(t, <-ran)
	name, _ := runningFile(base, dir)
	require.NoFileExists(t, name)
	t.Run("a start that ended badly holds nobody up", func(t *testing.T) {
		require.NoError(t, rememberRunning(base, dir, running{1, "gone"}))
		require.Empty(t, askRunning(base, dir))
		require.NoError(t, os.WriteFile(name, []byte("{"), 0o600))
		require.Empty(t, askRunning(base, dir))
	})
	t.Run("a folder that is not there", func(t *testing.T) {
		none := opt
		none.Dir = filepath.Join(dir, "nowhere")
		require.Error(t, Run(context.Background(), none))
	})
}
