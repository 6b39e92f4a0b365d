package dossier

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// folders are those a workshop has; out is where the program writes.
var folders = []string{"ingredients", "products", "batches", "evidence", "limits", "out"}

func isYAML(name string) bool {
	ext := strings.ToLower(path.Ext(name))
	return ext == ".yaml" || ext == ".yml"
}

// idOfFile returns the id that goes with a file name.
func idOfFile(name string) string { return strings.TrimSuffix(path.Base(name), path.Ext(name)) }

// list returns the YAML files of a folder, sorted. A folder that is not there is
// empty.
func (l *loader) list(folder string) []string {
	entries, err := fs.ReadDir(l.fsys, folder)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		l.findings = append(l.findings, unreadable(folder, err))
	}
	var names []string
	for _, e := range entries {
		name := path.Join(folder, e.Name())
		switch {
		case strings.HasPrefix(e.Name(), "."):
		case e.IsDir():
			if sub, err := fs.ReadDir(l.fsys, name); err == nil && slices.ContainsFunc(sub, func(s fs.DirEntry) bool { return isYAML(s.Name()) }) {
				l.note(name, "folder-inside", with().Name("folder", folder))
			}
		case isYAML(name):
			names = append(names, name)
		}
	}
	return names
}

// noteStrangers points out files that look meant and are not read.
func (l *loader) noteStrangers() {
	entries, err := fs.ReadDir(l.fsys, ".")
	if err != nil {
		return
	}
	for _, e := range entries {
		name := e.Name()
		switch {
		case strings.HasPrefix(name, "."), slices.Contains(folders, name):
		case e.IsDir():
			if near := ingredients.Nearest(name, folders); near != "" {
				l.note(name, "folder", with().Name("near", near))
			}
		case isYAML(name) && name != "workshop.yaml":
			l.note(name, "beside", nil)
		}
	}
}

func (l *loader) note(file, form string, v ingredients.Values) {
	l.findings = append(l.findings, ingredients.NewFinding(ingredients.Note, CodeFileIgnored, ingredients.Pos{File: file}, v).As(form).On(file).By(ingredients.TheMaker))
}

// open reads one file. Its size is asked for before anything is read.
func (l *loader) open(name string) (*ingredients.Source, *ingredients.Finding) {
	info, err := fs.Stat(l.fsys, name)
	if err == nil && !info.Mode().IsRegular() {
		err = errNoFile // opening a pipe would wait for ever
	}
	if err == nil && info.Size() > ingredients.MaxFileBytes {
		f := ingredients.NewFinding(ingredients.Stop, ingredients.CodeFileTooLarge, ingredients.Pos{File: name},
			with().Count("bytes", int(info.Size())).Count("most", ingredients.MaxFileBytes)).On(name).By(ingredients.TheMaker)
		f.Unread = true
		return nil, &f
	}
	var f fs.File
	if err == nil {
		f, err = l.fsys.Open(name)
	}
	if err == nil {
		defer f.Close()
		var data []byte
		if data, err = io.ReadAll(io.LimitReader(f, ingredients.MaxFileBytes+1)); err == nil {
			return ingredients.NewSource(name, data), nil
		}
	}
	finding := unreadable(name, err)
	return nil, &finding
}

var errNoFile = errors.New("it is no plain file")

// unreadable says why a file cannot be opened.
func unreadable(name string, err error) ingredients.Finding {
	form, v := "", with()
	switch {
	case leadsOutside(err):
		form = "outside"
	case errors.Is(err, fs.ErrPermission):
		form = "no-permission"
	default:
		v = v.Quote("fault", reason(err))
	}
	f := ingredients.NewFinding(ingredients.Stop, ingredients.CodeUnreadableFile, ingredients.Pos{File: name}, v).As(form).On(name).By(ingredients.TheMaker)
	f.Unread = true
	return f
}

// reason puts the cause of a file error into words, without the path, which the
// message already has.
func reason(err error) string {
	var p *fs.PathError
	var link *os.LinkError
	switch {
	case leadsOutside(err):
		return "it leads outside the workshop"
	case errors.Is(err, fs.ErrPermission):
		return "no permission"
	case errors.As(err, &p):
		return p.Err.Error()
	case errors.As(err, &link):
		return link.Err.Error()
	}
	return err.Error()
}

// leadsOutside says whether a link was refused. The standard library exports no
// error value for it, only this text.
func leadsOutside(err error) bool { return strings.Contains(err.Error(), "path escapes from parent") }

// readOwnLimits reads the maker's own limit tables: a stricter house rule, or a
// law newer than the program.
func (l *loader) readOwnLimits() {
	entries, err := fs.ReadDir(l.fsys, "limits")
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		l.findings = append(l.findings, unreadable("limits", err))
	}
	for _, e := range entries {
		name := path.Join("limits", e.Name())
		if e.IsDir() || strings.ToLower(path.Ext(name)) != ".csv" || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		src, f := l.open(name)
		if f != nil {
			l.findings = append(l.findings, *f)
			continue
		}
		l.w.Sources[name] = src
		if faults := src.CheckCharacters(); len(faults) > 0 {
			l.findings = append(l.findings, faults...)
			continue
		}
		l.w.OwnLimits[name] = src.Bytes
		rows, findings := law.ReadLimits(name, src.Bytes)
		l.w.ownRows = append(l.w.ownRows, rows...)
		l.findings = append(l.findings, findings...)
	}
}

// paper is a file named as evidence, with the place that names it.
type paper struct {
	file string
	pos  ingredients.Pos
}

// checkEvidence looks whether the papers named are in the folder. A paper
// outside it is refused, since it would not travel with the workshop.
func (l *loader) checkEvidence() {
	var papers []paper
	for _, id := range l.w.SheetIDs() {
		for _, d := range l.w.Sheets[id].Documents {
			papers = append(papers, paper{d.File, d.Pos})
		}
	}
	for _, p := range l.w.Products {
		papers = append(papers, p.papers()...)
	}
	for _, p := range papers {
		if p.file != "" {
			l.checkPaper(p)
		}
	}
}

func (l *loader) checkPaper(p paper) {
	switch {
	case strings.Contains(p.file, `\`):
		l.stop(CodeEvidenceOutside, "backslash", p.pos, p.file, with().Name("write", strings.ReplaceAll(p.file, `\`, "/")))
		return
	case !fs.ValidPath(p.file) || strings.Contains(p.file, ":"):
		l.stop(CodeEvidenceOutside, "", p.pos, p.file, nil)
		return
	}
	info, err := fs.Stat(l.fsys, p.file)
	switch {
	case err == nil && info.Mode().IsRegular():
	case err != nil && leadsOutside(err):
		l.stop(CodeEvidenceOutside, "link", p.pos, p.file, nil)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		l.stop(ingredients.CodeUnreadableFile, "", p.pos, p.file, with().Quote("fault", reason(err)))
	default:
		near := l.nearFile(p.file)
		l.findings = append(l.findings, ingredients.NewFinding(ingredients.Ask, CodeEvidenceMissing, p.pos, with().Name("near", near)).On(p.file).By(ingredients.TheMaker).
			At(p.pos.File, "documents.file", with().Name("file", near)))
	}
}

// nearFile returns the file beside a missing one that differs in no more than
// letter case, hyphens, spaces or its ending; any other may be another paper.
func (l *loader) nearFile(file string) string {
	entries, err := fs.ReadDir(l.fsys, path.Dir(file))
	if err != nil {
		return ""
	}
	plain := func(name string) string {
		return strings.NewReplacer("-", "", "_", "", " ", "").Replace(strings.ToLower(idOfFile(name)))
	}
	for _, e := range entries {
		if !e.IsDir() && plain(e.Name()) == plain(file) {
			return path.Join(path.Dir(file), e.Name())
		}
	}
	return ""
}
