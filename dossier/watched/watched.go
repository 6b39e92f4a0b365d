// Package watched keeps a workshop that is being worked on: it notices what changes on disk
// and computes a product again only after its files changed.
//
// Start with [Open]; [Workshop.Now] gives the workshop as it stands, as a [Shot] that does
// not change. A shot remembers what was asked of it. [Shot.Trial] computes a product from
// other bytes than those on disk, which is how a page answers while its reader types.
//
// Decision (2026-11-30): size and time of each file say whether it may have changed, and its
// bytes whether it did; what did not change stays as it was read. A paper that was opened
// once counts as on hand, and is not opened again, as long as the system says that nothing
// was done to it, not even to who may read it; a system that does not tell the latter, such
// as Windows, has each paper opened at each reading. A product stays as it was
// computed where only other products changed, or sheets that it does not use and whose
// supplier supplies nothing that it uses. After any other change, as to workshop.yaml,
// papers, batches, lots or own limits, every product is computed again when it is asked for.
package watched

import (
	"bytes"
	"sync"

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
	seen seen
	shot *Shot
	dirt bool
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
	now := scan(w.dir)
	day, chosen := w.today()
	old := w.shot
	changed := now.since(w.seen)
	if old != nil && !w.dirt && len(changed) == 0 && old.Options.Date == day {
		return old
	}
	s := &Shot{Number: 1, Options: assess.Options{Date: day, DateChosen: chosen, Law: w.tables}}
	switch {
	case old == nil || old.Workshop == nil:
		s.Workshop, s.Findings = workshop.Load(w.dir, w.tables)
	default:
		dirt, untouched := w.dirt, now.untouchedSince(w.seen)
		s.Workshop, s.Findings = workshop.Again(old.Workshop,
			func(name string) bool { return dirt || changed[name] },
			func(name string) bool { return !dirt && untouched(name) })
	}
	if old != nil {
		s.Number = old.Number + 1
	}
	switch {
	case s.Workshop == nil:
	case old == nil || old.Workshop == nil:
		s.Options.Session = assess.Session(s.Workshop, w.tables)
	default:
		s.Options.Session = old.Options.Session.Follow(s.Workshop)
		if old.Options.Date == day && old.Options.DateChosen == chosen {
			s.keep(old, bytesToo(changed, old.Workshop, s.Workshop))
		}
	}
	w.shot, w.seen, w.dirt = s, now, false
	return s
}

// bytesToo adds the files whose bytes changed though size and time did not.
func bytesToo(changed map[string]bool, old, now *workshop.Workshop) map[string]bool {
	for name, src := range now.Sources {
		if was := old.Sources[name]; was != src && (was == nil || !bytes.Equal(was.Bytes, src.Bytes)) {
			changed[name] = true
		}
	}
	return changed
}
