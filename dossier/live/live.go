// Package live keeps a workshop that is being worked on: it notices what changes on disk
// and computes a product again only after its files changed.
//
// Start with [Open]; [Workshop.Now] gives the workshop as it stands, as a [Shot] that does
// not change. A shot remembers what was asked of it. [Shot.Trial] computes a product from
// other bytes than those on disk, which is how a page answers while its reader types.
//
// Decision (2026-11-29): after any change the folder is read anew as a whole, 15 ms for the
// demo; size and time of each file say whether there was one. A reader that replaces one
// compiled file can take the place of what is inside [Workshop] without its users noticing.
package live

import (
	"io/fs"
	"os"
	"path"
	"strings"
	"sync"
	"time"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Workshop is a folder that is watched.
type Workshop struct {
	dir    string
	tables *table.Tables
	today  func() (day exact.Date, chosen bool)

	mu   sync.Mutex
	seen map[string]stamp
	shot *Shot
	dirt bool
}

type stamp struct {
	size int64
	time time.Time
}

// Open returns the workshop in a folder; tables are the law, today the day whose law counts
// and whether it was chosen and is not that of the clock.
func Open(dir string, tables *table.Tables, today func() (exact.Date, bool)) *Workshop {
	return &Workshop{dir: dir, tables: tables, today: today}
}

// Dir returns the folder.
func (w *Workshop) Dir() string { return w.dir }

// Touch says that a file was changed, by the caller, in a way that its size and time may
// not show.
func (w *Workshop) Touch() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.dirt = true
}

// Now returns the workshop as it stands on disk.
func (w *Workshop) Now() *Shot {
	w.mu.Lock()
	defer w.mu.Unlock()
	seen := scan(w.dir)
	day, chosen := w.today()
	if w.shot != nil && !w.dirt && same(seen, w.seen) && w.shot.Options.Date == day {
		return w.shot
	}
	number := 1
	if w.shot != nil {
		number = w.shot.Number + 1
	}
	s := &Shot{Number: number, Options: assess.Options{Date: day, DateChosen: chosen, Law: w.tables}}
	s.Workshop, s.Findings = workshop.Load(w.dir, w.tables)
	if s.Workshop != nil {
		s.Options.Session = assess.Session(s.Workshop, w.tables)
	}
	w.shot, w.seen, w.dirt = s, seen, false
	return s
}

// watched are the folders of a workshop whose files matter.
var watched = []string{"ingredients", "products", "batches", "limits", "evidence", "lots", "pictures"}

// scan notes size and time of every file of a workshop.
func scan(dir string) map[string]stamp {
	seen := map[string]stamp{}
	note := func(name string, d fs.DirEntry) {
		if info, err := d.Info(); err == nil {
			seen[name] = stamp{info.Size(), info.ModTime()}
		}
	}
	top, _ := os.ReadDir(dir) // a folder that is gone has no files
	for _, d := range top {
		note(d.Name(), d)
	}
	for _, folder := range watched {
		entries, _ := os.ReadDir(dir + string(os.PathSeparator) + folder)
		for _, d := range entries {
			if !strings.HasSuffix(d.Name(), ".part") {
				note(path.Join(folder, d.Name()), d)
			}
		}
	}
	delete(seen, "out") // the program writes there itself
	return seen
}

func same(a, b map[string]stamp) bool {
	if len(a) != len(b) {
		return false
	}
	for name, s := range a {
		if o, ok := b[name]; !ok || o.size != s.size || !o.time.Equal(s.time) {
			return false
		}
	}
	return true
}
