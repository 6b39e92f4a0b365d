package terminal

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"
)

// progress is a line on a terminal that says how far long work has come. It is
// wiped when the work is done, and there is none where nobody watches: in a file,
// in a pipe, or while the work is short.
type progress struct {
	to    io.Writer
	what  string
	all   int
	every time.Duration

	mu    sync.Mutex
	done  int
	next  time.Time
	shown bool
}

// Watch returns the progress of so many things, or nil where nobody watches.
func (u Printer) Watch(what string, all int) *progress {
	f, ok := u.Err.(*os.File)
	if !ok {
		return nil
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return nil
	}
	return newProgress(f, what, all, time.Second/4)
}

func newProgress(to io.Writer, what string, all int, every time.Duration) *progress {
	return &progress{to: to, what: what, all: all, every: every, next: time.Now().Add(2 * every)}
}

// Step counts one more as done. It may be called by several at once.
func (p *progress) Step() {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done++
	if now := time.Now(); !now.Before(p.next) {
		p.next, p.shown = now.Add(p.every), true
		fmt.Fprintf(p.to, "\r%d of %d %s", p.done, p.all, p.what)
	}
}

// End wipes the line.
func (p *progress) End() {
	if p == nil || !p.shown {
		return
	}
	const wide = 60
	fmt.Fprintf(p.to, "\r%*s\r", wide, "")
}
