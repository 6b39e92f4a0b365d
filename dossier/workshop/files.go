package workshop

import (
	"errors"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"gallipot/calc/law/table"
	"gallipot/dossier/store"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// folders are those a workshop has; out is where the program writes.
var folders = []string{"ingredients", "products", "batches", "evidence", "limits", "out"}

func isYAML(name string) bool {
	ext := strings.ToLower(path.Ext(name))
	return ext == ".yaml" || ext == ".yml"
}

// IDOfFile returns the id that goes with a file name.
func IDOfFile(name string) string { return strings.TrimSuffix(path.Base(name), path.Ext(name)) }

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
				l.note(name, "folders inside %s/ are not read", "move the files of "+name+"/ up into "+folder+"/", folder)
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
			if near := source.Nearest(name, folders); near != "" {
				l.note(name, "the folder %s is not read", "rename it to "+near, name)
			}
		case isYAML(name) && name != "workshop.yaml":
			l.note(name, "%s lies beside workshop.yaml and is not read", "move it into ingredients/, products/ or batches/", name)
		}
	}
}

func (l *loader) note(file, format, fix string, args ...any) {
	l.findings = append(l.findings, finding.Findingf(finding.Note, codeFileIgnored, finding.Pos{File: file}, format, args...).On(file).WithFix("%s", fix))
}

// open reads one file. Its size is asked for before anything is read.
func (l *loader) open(name string) (*source.Source, *finding.Finding) {
	info, err := fs.Stat(l.fsys, name)
	if err == nil && !info.Mode().IsRegular() {
		err = store.ErrNoFile // opening a pipe would wait for ever
	}
	if err == nil && info.Size() > source.MaxFileBytes {
		f := finding.Findingf(finding.Stop, source.CodeFileTooLarge, finding.Pos{File: name}, "the file has %d bytes, the most that is read is %d", info.Size(), source.MaxFileBytes).
			On(name).WithFix("check that this is a text file of yours; put attachments into evidence/, and split a table that is so long")
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
	f := finding.Findingf(finding.Stop, source.CodeUnreadableFile, finding.Pos{File: name}, "%s cannot be opened: %s", name, store.Reason(err)).On(name)
	f.Unread = true
	switch {
	case store.LeadsOutside(err):
		return f.WithFix("put the file itself into the workshop instead of a link")
	case errors.Is(err, fs.ErrPermission):
		return f.WithFix("give yourself the right to read it")
	}
	return f.WithFix("check that it is a file you can open in an editor")
}

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
		rows, findings := table.ReadLimits(name, src.Bytes)
		l.w.OwnRows = append(l.w.OwnRows, rows...)
		l.findings = append(l.findings, findings...)
	}
}

// paper is a file named as evidence, with the place that names it.
type paper struct {
	file string
	pos  finding.Pos
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
		l.stop(CodeEvidenceOutside, p.pos, p.file, "write "+strings.ReplaceAll(p.file, `\`, "/"), `%s is written with \, wanted /`, p.file)
		return
	case !fs.ValidPath(p.file) || strings.Contains(p.file, ":"):
		l.stop(CodeEvidenceOutside, p.pos, p.file, "copy the file into evidence/ and name it from there, as in evidence/sds.pdf", "%s is not a place inside the workshop", p.file)
		return
	}
	info, err := fs.Stat(l.fsys, p.file)
	switch {
	case err == nil && info.Mode().IsRegular():
	case err != nil && store.LeadsOutside(err):
		l.stop(CodeEvidenceOutside, p.pos, p.file, "put the file itself into evidence/ instead of a link", "%s leads outside the workshop", p.file)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		l.stop(source.CodeUnreadableFile, p.pos, p.file, "check the file", "%s cannot be opened: %s", p.file, store.Reason(err))
	default:
		f := finding.Findingf(finding.Ask, CodeEvidenceMissing, p.pos, "%s is named here and is not in the workshop", p.file).On(p.file)
		if near := l.nearFile(p.file); near != "" {
			f = f.WithFix("write %s, or put the file there", near)
		} else {
			f = f.WithFix("put the file there, or ask for it and delete the line until it comes")
		}
		l.findings = append(l.findings, f)
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
		return strings.NewReplacer("-", "", "_", "", " ", "").Replace(strings.ToLower(IDOfFile(name)))
	}
	for _, e := range entries {
		if !e.IsDir() && plain(e.Name()) == plain(file) {
			return path.Join(path.Dir(file), e.Name())
		}
	}
	return ""
}
