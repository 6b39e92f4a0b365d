package terminal

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"
)

// progress says how far long work has come. On a terminal it is one line that is
// written over and wiped when the work is done; there is none while the work is short.
// In a file or a pipe it is a line for each piece of work that is large by count: what
// is written there must not depend on how fast a computer is.
type progress struct {
	to    io.Writer
	doing string // with a space after it, or empty
	what  string
	all   int
	every time.Duration

	mu    sync.Mutex
	done  int
	next  time.Time
	shown bool
	late  *time.Timer // shows the line where nothing has been done for long
}

// Nobody waits longer than this to learn what is being done.
const soon = 150 * time.Millisecond

// Watch returns the progress of so many things, or nil where nobody watches.
func (u Printer) Watch(what string, all int) *progress {
	f, ok := u.terminal()
	if !ok {
		return nil
	}
	return newProgress(f, what, all, soon)
}

// Begin says on standard error what is begun: at once in a file or a pipe where it is
// much, on a terminal when it takes long. What comes back may be nil.
func (u Printer) Begin(doing, noun string, all int, much bool) *progress {
	f, ok := u.terminal()
	if !ok {
		if much {
			fmt.Fprintf(u.Err, "gallipot: %s %s\n", doing, Counted(all, noun))
		}
		return nil
	}
	return begin(f, doing, noun, all, soon)
}

func begin(to io.Writer, doing, noun string, all int, soon time.Duration) *progress {
	p := newProgress(to, noun+"s", all, soon)
	p.doing = doing + " "
	p.mu.Lock()
	defer p.mu.Unlock()
	p.late = time.AfterFunc(soon, func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		if !p.shown && p.late != nil {
			p.shown = true
			p.show()
		}
	})
	return p
}

// terminal is where errors go, if somebody sits there.
func (u Printer) terminal() (*os.File, bool) {
	f, ok := u.Err.(*os.File)
	if !ok {
		return nil, false
	}
	info, err := f.Stat()
	return f, err == nil && info.Mode()&os.ModeCharDevice != 0
}

func newProgress(to io.Writer, what string, all int, every time.Duration) *progress {
	return &progress{to: to, what: what, all: all, every: every, next: time.Now().Add(every)}
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
		p.show()
	}
}

func (p *progress) show() { fmt.Fprintf(p.to, "\r%s%d of %d %s", p.doing, p.done, p.all, p.what) }

// End wipes the line.
func (p *progress) End() {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.late != nil {
		p.late.Stop()
		p.late = nil
	}
	if !p.shown {
		return
	}
	const wide = 60
	fmt.Fprintf(p.to, "\r%*s\r", wide, "")
}
