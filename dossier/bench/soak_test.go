package bench

import (
	"context"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/bench/gate"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/workshop"
)

var soakFor = flag.Duration("soak", 0, "how long TestSoak goes on; 0: not at all")

// TestSoak lets everything happen at once for a while: values changed and taken back in
// the workbench and on disk, readers that stall, files that vanish and come back. Every
// answer comes in time and is no fault of the program; afterwards the workshop is whole
// and nothing has piled up.
func TestSoak(t *testing.T) {
	if *soakFor == 0 {
		t.Skip("go test ./dossier/bench -run TestSoak -soak 10m")
	}
	x := begin(t, true)
	l, port, err := gate.Listen(0)
	require.NoError(t, err)
	x.bench.port, x.bench.gate = port, gate.New(port, time.Now)
	h, err := x.bench.handler(x.site)
	require.NoError(t, err)
	stop, end := context.WithCancel(context.Background())
	served := make(chan error, 1)
	go func() { served <- gate.Serve(stop, l, h, gate.UsualTimes()) }()
	host := fmt.Sprintf("127.0.0.1:%d", port)
	cookie := fmt.Sprintf("gallipot-%d=%s", port, x.bench.gate.Token())
	client := &http.Client{Timeout: time.Minute,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	var answered, faults, stalled, edits, gone atomic.Int64
	ask := func(method, path string, form url.Values) int {
		r, err := http.NewRequest(method, "http://"+host+path, strings.NewReader(form.Encode()))
		if err != nil {
			return 0
		}
		r.Header.Set("Cookie", cookie)
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		resp, err := client.Do(r)
		if err != nil {
			faults.Add(1)
			t.Errorf("%s %s: %v", method, path, err)
			return 0
		}
		defer resp.Body.Close()
		body, _ := io.ReadAll(resp.Body)
		answered.Add(1)
		if resp.StatusCode >= 500 {
			faults.Add(1)
			t.Errorf("%s %s: %d\n%s", method, path, resp.StatusCode, body)
		}
		return resp.StatusCode
	}
	const file, line = "products/heath-wash.yaml", "{ingredient: keeper-pe, amount: "
	whole := map[string]string{}
	for _, name := range []string{file, "ingredients/fo-gorse.yaml", "batches/HW26-003.yaml", "evidence/xanthan-sds.txt"} {
		whole[name] = x.read(name)
	}
	before := runtime.NumGoroutine()
	until := time.Now().Add(*soakFor)
	var all sync.WaitGroup
	during := func(seed uint64, step func(r *rand.Rand)) {
		all.Go(func() {
			r := rand.New(rand.NewPCG(seed, 4690))
			for time.Now().Before(until) && faults.Load() < 10 {
				step(r)
			}
		})
	}
	for seed := range uint64(3) { // readers
		during(seed, func(r *rand.Rand) { ask("GET", pages[r.IntN(len(pages))], nil) })
	}
	during(10, func(r *rand.Rand) { // somebody types
		data, err := os.ReadFile(filepath.Join(x.dir, file))
		if err != nil {
			return
		}
		form := url.Values{"base": {history.Hash(data)},
			"set:/formula/phases/2/lines/1/amount": {fmt.Sprintf("0.%d", 1+r.IntN(9))}}
		ask("POST", "/product/heath-wash/formula", form)
		if r.IntN(2) == 0 {
			ask("POST", []string{"/undo", "/redo"}[r.IntN(2)], nil)
		}
		edits.Add(1)
	})
	during(11, func(r *rand.Rand) { // an editor beside the workbench
		text := whole[file]
		i := strings.Index(text, line) + len(line)
		j := i + strings.Index(text[i:], "}")
		text = text[:i] + fmt.Sprintf("0.%d", 1+r.IntN(9)) + text[j:]
		_ = os.WriteFile(filepath.Join(x.dir, file), []byte(text), 0o644)
		edits.Add(1)
		time.Sleep(time.Duration(r.IntN(400)) * time.Millisecond)
	})
	during(12, func(r *rand.Rand) { // files vanish, are torn, and come back
		names := []string{"ingredients/fo-gorse.yaml", "batches/HW26-003.yaml", "evidence/xanthan-sds.txt"}
		name := names[r.IntN(len(names))]
		path := filepath.Join(x.dir, name)
		if r.IntN(2) == 0 {
			_ = os.Remove(path)
		} else {
			_ = os.WriteFile(path, []byte(whole[name][:r.IntN(len(whole[name]))]), 0o644)
		}
		time.Sleep(time.Duration(r.IntN(300)) * time.Millisecond)
		_ = os.WriteFile(path, []byte(whole[name]), 0o644)
		gone.Add(1)
	})
	during(13, func(r *rand.Rand) { // readers that stall
		c, err := net.Dial("tcp", host)
		if err != nil {
			return
		}
		_, _ = fmt.Fprintf(c, "GET /product/heath-wash/formula HTTP/1.1\r\nHost: %s\r\nCookie: %s\r\n", host, cookie)
		if r.IntN(2) == 0 {
			_, _ = io.WriteString(c, "\r\n")
		}
		stalled.Add(1)
		time.AfterFunc(time.Duration(r.IntN(20))*time.Second, func() { _ = c.Close() })
		time.Sleep(time.Duration(r.IntN(500)) * time.Millisecond)
	})
	all.Wait()
	for name, text := range whole {
		require.NoError(t, os.WriteFile(filepath.Join(x.dir, name), []byte(text), 0o644))
	}
	time.Sleep(1200 * time.Millisecond) // file systems tell times apart by a second
	for _, path := range pages {
		assert.Equal(t, http.StatusOK, ask("GET", path, nil), path)
	}
	_, findings := workshop.Load(x.dir, table.Builtin())
	for _, f := range findings {
		assert.False(t, f.Unread, "%s %s", f.Code, f.Pos)
	}
	client.CloseIdleConnections()
	for end := time.Now().Add(time.Minute); runtime.NumGoroutine() > before+20 && time.Now().Before(end); {
		time.Sleep(200 * time.Millisecond)
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), before+20, "what was started has ended")
	t.Logf("%v: %d answers, %d edits, %d files gone and back, %d stalled readers, %d faults", *soakFor,
		answered.Load(), edits.Load(), gone.Load(), stalled.Load(), faults.Load())
	end()
	require.NoError(t, <-served)
}
