package bench

import (
	"path"
	"slices"
	"strings"
	"sync"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/bench/incoming"
	"gallipot/dossier/bench/recipes"
)

// brought are files dropped on the first page, before there is a workshop to put them in.
type brought struct {
	mu      sync.Mutex
	files   []broughtFile
	formula bool // they are the maker's own formulas, not papers of suppliers
}

type broughtFile struct {
	name string
	data []byte
}

// Most files that wait for a workshop.
const mostBrought = 20

func (b *bench) broughtNames() []string {
	b.brought.mu.Lock()
	defer b.brought.mu.Unlock()
	var names []string
	for _, f := range b.brought.files {
		names = append(names, f.name)
	}
	return names
}

// bring keeps what was dropped on the first page and asks for the workshop it is for.
func (b *bench) bring(v *frame.Visit) error {
	if v.R.MultipartForm == nil || len(v.R.MultipartForm.File["paper"]) == 0 {
		return frame.Wrong("No file was chosen.", "Choose a file, or drop it on the field.")
	}
	var files []broughtFile
	for _, head := range v.R.MultipartForm.File["paper"] {
		data, err := frame.Sent(head)
		if err != nil {
			return err
		}
		files = append(files, broughtFile{path.Base(strings.ReplaceAll(head.Filename, `\`, "/")), data})
	}
	if len(files) > mostBrought {
		return frame.Wrong("That is more than can wait for a workshop.",
			"Start the workshop first, and drop the papers there.")
	}
	b.brought.mu.Lock()
	b.brought.files, b.brought.formula = files, v.Field("as") == "formula"
	b.brought.mu.Unlock()
	if len(readRecent(b.opt.Base)) > 0 { // it may be for a workshop that is there
		return v.Go("/")
	}
	return v.Go("/first/new")
}

// unpack puts what was brought along into the workshop that is open now, and shows it.
func (b *bench) unpack(v *frame.Visit) error {
	b.brought.mu.Lock()
	files, formula := slices.Clone(b.brought.files), b.brought.formula
	b.brought.files = nil
	b.brought.mu.Unlock()
	_, store := v.Site.Workshop()
	key, place := "", "/incoming/"
	for _, f := range files {
		var err error
		if formula {
			place = "/formulas/"
			key, err = recipes.Keep(store, b.files, f.name, f.data)
		} else {
			key, err = incoming.Keep(store, f.name, f.data)
		}
		if err != nil {
			return err
		}
	}
	switch {
	case len(files) == 0:
		return v.Go("/today")
	case len(files) > 1:
		return v.Go(map[bool]string{true: "/formulas", false: "/papers"}[formula])
	}
	return v.Go(place + key)
}
