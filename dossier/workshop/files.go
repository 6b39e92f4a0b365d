package workshop

import (
	"errors"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"gallipot/calc/law/annex"
	"gallipot/dossier/store"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/sign"
	"gallipot/ingredients/source"
)

// folders are those a workshop has; out is where the program writes.
var folders = []string{"ingredients", "products", "batches", "lots", "evidence", "pictures", "limits", "out"}

func isYAML(name string) bool {
	ext := strings.ToLower(path.Ext(name))
	return ext == ".yaml" || ext == ".yml"
}

// IDOfFile returns the id that goes with a file name.
func IDOfFile(name string) string { return strings.TrimSuffix(path.Base(name), path.Ext(name)) }

// list returns the YAML files of a folder, sorted. A folder that is not there is
// empty.
func (l *loader) list(folder string) []string {
	var names []string
	for _, e := range l.entries(folder) {
		name := path.Join(folder, e.Name())
		switch {
		case strings.HasPrefix(e.Name(), "."):
		case e.IsDir():
			if sub, err := fs.ReadDir(l.fsys, name); err == nil && slices.ContainsFunc(sub,
				func(s fs.DirEntry) bool { return isYAML(s.Name()) }) {
				l.note(name, "folder-inside", With().Name("folder", folder))
			}
		case isYAML(name):
			names = append(names, name)
		case l.misnamed(name):
			l.findings = append(l.findings, cannotRead(name, "ending",
				With().Name("name", IDOfFile(IDOfFile(name))+".yaml")))
		}
	}
	return names
}

// entries returns what stands in a folder, but for names that would break the line
// that they are printed on: those are reported.
func (l *loader) entries(folder string) []fs.DirEntry {
	entries, err := fs.ReadDir(l.fsys, folder)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		l.findings = append(l.findings, unreadable(folder, err))
	}
	return slices.DeleteFunc(entries, func(e fs.DirEntry) bool {
		if !strings.ContainsFunc(e.Name(), sign.Control) {
			return false
		}
		l.findings = append(l.findings, cannotRead(sign.Shown(path.Join(folder, e.Name())), "name", nil))
		return true
	})
}

// misnamed says whether a file is meant to be read and is not, since an editor or the
// system has put .txt at the end of its name.
func (l *loader) misnamed(name string) bool {
	stem, txt := strings.CutSuffix(strings.ToLower(name), ".txt")
	if !txt || isYAML(stem) {
		return txt
	}
	src, _ := l.open(name) // one that cannot be opened is none that is meant
	return src != nil && source.HasKeys(src.Bytes, "id", "code", "lot")
}

// noteStrangers points out files that look meant and are not read.
func (l *loader) noteStrangers() {
	for _, e := range l.entries(".") {
		name := e.Name()
		switch {
		case strings.HasPrefix(name, "."), slices.Contains(folders, name):
		case e.IsDir():
			if near := source.Nearest(name, folders); near != "" {
				l.note(name, "folder", With().Name("near", near))
			}
		case isYAML(name) && name != "workshop.yaml":
			l.note(name, "beside", nil)
		}
	}
}

func (l *loader) note(file, form string, v finding.Values) {
	l.findings = append(l.findings, finding.NewFinding(finding.Note, codeFileIgnored, exact.Pos{File: file},
		v).As(form).On(file).By(finding.TheMaker))
}

// open reads one file. Its size is asked for before anything is read.
func (l *loader) open(name string) (*source.Source, *finding.Finding) {
	info, err := fs.Stat(l.fsys, name)
	if err == nil && !store.Readable(info.Mode()) {
		err = store.ErrNoFile // opening a pipe would wait for ever
	}
	if err == nil && info.Size() > source.MaxFileBytes {
		f := finding.NewFinding(finding.Stop, source.CodeFileTooLarge, exact.Pos{File: name},
			With().Count("bytes", int(info.Size())).Count("most",
				source.MaxFileBytes)).On(name).By(finding.TheMaker)
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
		if data, err = io.ReadAll(io.LimitReader(f, source.MaxFileBytes+1)); err == nil {
			return source.NewSource(name, data), nil
		}
	}
	finding := unreadable(name, err)
	return nil, &finding
}

// unreadable says why a file cannot be opened.
func unreadable(name string, err error) finding.Finding {
	form, v := "", With()
	switch {
	case store.LeadsOutside(err):
		form = "outside"
	case errors.Is(err, fs.ErrPermission):
		form = "no-permission"
	default:
		v = v.Quote("fault", store.Reason(err))
	}
	return cannotRead(name, form, v)
}

func cannotRead(name, form string, v finding.Values) finding.Finding {
	f := finding.NewFinding(finding.Stop, source.CodeUnreadableFile, exact.Pos{File: name},
		v).As(form).On(name).By(finding.TheMaker)
	f.Unread = true
	return f
}

// readOwnLimits reads the maker's own limit tables: a stricter house rule, or a
// law newer than the program.
func (l *loader) readOwnLimits() {
	for _, e := range l.entries("limits") {
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
		rows, findings := annex.ReadOwn(name, src.Bytes)
		l.w.OwnRows = append(l.w.OwnRows, rows...)
		l.findings = append(l.findings, findings...)
	}
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
		for _, x := range p.Pictures {
			if fs.ValidPath(x.File) { // any other is reported as a paper
				l.findings = append(l.findings, x.Faults(l.fsys)...)
			}
		}
	}
	for _, lot := range l.w.Lots {
		papers = append(papers, paper{lot.Certificate.File, lot.Certificate.Pos})
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
		l.stop(CodeEvidenceOutside, "backslash", p.pos, p.file,
			With().Name("write", strings.ReplaceAll(p.file, `\`, "/")))
		return
	case !fs.ValidPath(p.file) || strings.Contains(p.file, ":"):
		l.stop(CodeEvidenceOutside, "", p.pos, p.file, nil)
		return
	case l.w.onHand[p.file]: // named by another
		return
	case l.old.w.onHand[p.file] && l.old.untouched(p.file):
		l.w.onHand[p.file] = true
		return
	}
	info, err := fs.Stat(l.fsys, p.file)
	switch {
	case err == nil && !store.Readable(info.Mode()):
		l.missing(p, "no-file", nil)
	case err == nil && info.Size() == 0:
		l.missing(p, "empty", nil)
	case err == nil && info.Size() > mostPaper:
		l.missing(p, "too-large", With().Count("gigabytes", mostPaper>>30))
	case err == nil:
		// only opening it shows whether it may be read
		if f, err := l.fsys.Open(p.file); err != nil {
			l.missing(p, "unreadable", With().Quote("fault", store.Reason(err)))
		} else {
			_ = f.Close() // nothing was written
			l.w.onHand[p.file] = true
		}
	case err != nil && store.LeadsOutside(err):
		l.stop(CodeEvidenceOutside, "link", p.pos, p.file, nil)
	case !errors.Is(err, fs.ErrNotExist):
		l.missing(p, "unreadable", With().Quote("fault", store.Reason(err)))
	default:
		near := store.NearFile(l.fsys, p.file)
		l.missing(p, "", With().Name("near", near))
		l.findings[len(l.findings)-1] = l.findings[len(l.findings)-1].At(p.pos.File, "documents.file",
			With().Name("file", near))
	}
}

// mostPaper is above any paper: a larger file is no paper, and would take minutes to
// hash in every run.
const mostPaper = 1 << 30

// missing reports a paper that is not on hand: it is not there, or nobody can read it.
func (l *loader) missing(p paper, form string, v finding.Values) {
	l.findings = append(l.findings, finding.NewFinding(finding.Ask, CodeEvidenceMissing, p.pos,
		v).As(form).On(p.file).By(finding.TheMaker).
		At(p.pos.File, "documents.file", nil))
}
