package watched

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// watched are the folders of a workshop whose files matter.
var watched = []string{"ingredients", "products", "batches", "limits", "evidence", "lots", "pictures"}

// seen is what stood in a workshop, and then in each of the watched folders: their files in
// the order in which the system names them.
type seen [][]sight

// sight is one file, or folder, as the system describes it.
type sight struct {
	name    string
	size    int64
	time    int64 // when it was written
	mode    fs.FileMode
	changed int64  // when anything of it was changed, such as who may read it; 0: not told
	node    uint64 // which file it is, whatever its name
}

// same says whether nothing shows that a file was changed. Which file it is some systems
// tell otherwise each time.
func (s sight) same(o sight) bool {
	o.node = s.node
	return s == o
}

// scan looks at every file of a workshop. A folder that is gone, or closed, has none.
func scan(dir string) seen {
	s := make(seen, 1+len(watched))
	s[0] = slices.DeleteFunc(entries(dir), func(s sight) bool { return s.name == "out" }) // the program writes there itself
	for i, folder := range watched {
		s[1+i] = slices.DeleteFunc(entries(filepath.Join(dir, folder)),
			func(s sight) bool { return strings.HasSuffix(s.name, ".part") })
	}
	return s
}

// entries looks at what stands in a folder: it is opened once, and each file is asked for
// by its name in it.
func entries(folder string) []sight {
	f, err := os.Open(folder)
	if err != nil {
		return nil
	}
	defer f.Close()
	infos, _ := f.Readdir(-1) // those that there are
	list := make([]sight, len(infos))
	for i, info := range infos {
		list[i] = sight{name: info.Name(), size: info.Size(), time: info.ModTime().UnixNano(), mode: info.Mode()}
		list[i].node, list[i].changed = nodeOf(info)
	}
	return list
}

// folderOf is the name of the folder that a part of seen is of, with its stroke.
func folderOf(part int) string {
	if part == 0 {
		return ""
	}
	return watched[part-1] + "/"
}

// since names the files that are new, gone or changed since another look.
func (s seen) since(o seen) map[string]bool {
	names := map[string]bool{}
	for part := range s {
		var before []sight
		if part < len(o) {
			before = o[part]
		}
		if slices.EqualFunc(s[part], before, sight.same) {
			continue
		}
		gone := map[string]sight{}
		for _, f := range before {
			gone[f.name] = f
		}
		for _, f := range s[part] {
			if was, there := gone[f.name]; !there || !f.same(was) {
				names[folderOf(part)+f.name] = true
			}
			delete(gone, f.name)
		}
		for name := range gone {
			names[folderOf(part)+name] = true
		}
	}
	return names
}

// untouchedSince returns what says of a file whether surely nothing was done to it since
// another look: a plain file, in a folder that is no link, of which the system tells when
// anything of it was changed.
func (s seen) untouchedSince(o seen) func(name string) bool {
	folders := map[string]map[string]bool{} // the names of the files of each to which nothing was done
	if len(o) == len(s) {
		same := unchanged(s[0], o[0], func(f, was sight) bool {
			return f.mode == was.mode && f.node == was.node && f.mode.IsDir()
		})
		for i, folder := range watched {
			if same[folder] {
				folders[folder] = unchanged(s[1+i], o[1+i], func(f, was sight) bool {
					return f == was && f.mode.IsRegular() && f.changed != 0
				})
			}
		}
	}
	return func(name string) bool {
		folder, file := path.Split(name)
		return folders[strings.TrimSuffix(folder, "/")][file]
	}
}

// unchanged are the names of those that stood there before and of which same is true.
func unchanged(now, before []sight, same func(f, was sight) bool) map[string]bool {
	var places map[string]int // made where the system names them in another order
	names := make(map[string]bool, len(now))
	for i, f := range now {
		if i >= len(before) || before[i].name != f.name {
			if places == nil {
				places = make(map[string]int, len(before))
				for k, was := range before {
					places[was.name] = k
				}
			}
			var known bool
			if i, known = places[f.name]; !known {
				continue
			}
		}
		if same(f, before[i]) {
			names[f.name] = true
		}
	}
	return names
}
