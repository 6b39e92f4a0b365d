//go:build ignore

package main

import (
	"fmt"
	"go/ast"
	"go/format"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"unicode"
)

type place struct {
	u    *Unit
	dest string // target dir
	ext  bool
	base string // file name
}

type applier struct {
	w         *World
	adj       map[string]map[string]bool // source import graph by target
	fileExt   map[*File]bool
	rootExt   map[*Unit]bool
	alias     map[string]bool
	places    []place
	placed    map[*Unit]map[string]bool
	final     map[string]string // obj key → final name
	homeObj   map[string]*Unit  // key → unit for every ident declared
	objs      map[string]types.Object
	localName map[string]string // local var key → new name
	problems  []string
	embeds    map[string]string
	testOnly  map[string]bool
	used      map[*Unit]bool
}

func (a *applier) problem(f string, args ...any) { a.problems = append(a.problems, fmt.Sprintf(f, args...)) }

func (w *World) apply(out string) {
	w.placeTests()
	a := &applier{w: w, adj: map[string]map[string]bool{}, fileExt: map[*File]bool{}, rootExt: map[*Unit]bool{}, alias: map[string]bool{}, placed: map[*Unit]map[string]bool{},
		final: map[string]string{}, objs: map[string]types.Object{}, localName: map[string]string{}, testOnly: map[string]bool{}}
	for e := range w.edges(false) {
		if a.adj[e.from] == nil {
			a.adj[e.from] = map[string]bool{}
		}
		a.adj[e.from][e.to] = true
	}
	for _, u := range w.units {
		for _, r := range u.Refs {
			a.objs[w.key(r.Obj)] = r.Obj
		}
	}
	a.external()
	a.place()
	a.exports()
	a.unexport()
	a.collisions()
	a.shadows()
	a.write(out)
	seen := map[string]bool{}
	for _, p := range a.problems {
		if !seen[p] {
			fmt.Println(p)
		}
		seen[p] = true
	}
}

func (a *applier) reaches(from, to string) bool {
	seen := map[string]bool{}
	var visit func(string) bool
	visit = func(x string) bool {
		if x == to {
			return true
		}
		if seen[x] {
			return false
		}
		seen[x] = true
		for y := range a.adj[x] {
			if visit(y) {
				return true
			}
		}
		return false
	}
	return visit(from)
}

// helperClosure is all test units a set of units needs.
func (a *applier) closure(start []*Unit) map[*Unit]bool {
	w := a.w
	seen := map[*Unit]bool{}
	methodsOf := map[*Unit][]*Unit{}
	for _, u := range w.units {
		if u.Test && u.Method {
			if t := w.typeUnit(u); t != nil {
				methodsOf[t] = append(methodsOf[t], u)
			}
		}
	}
	var add func(*Unit)
	add = func(u *Unit) {
		if seen[u] {
			return
		}
		seen[u] = true
		for _, r := range u.Refs {
			if r.To.Test && !r.To.Root {
				add(r.To)
			}
		}
		for _, m := range methodsOf[u] {
			add(m)
		}
		if u.Method && u.Test {
			if t := w.typeUnit(u); t != nil {
				add(t)
			}
		}
	}
	for _, u := range start {
		add(u)
	}
	return seen
}

func (w *World) typeUnit(m *Unit) *Unit {
	for _, f := range w.order {
		if strings.HasPrefix(m.RecvKey, f.Abs+":") {
			var off int
			fmt.Sscanf(m.RecvKey[len(f.Abs)+1:], "%d", &off)
			for _, u := range f.Units {
				if off >= u.Start && off < u.End {
					return u
				}
			}
		}
	}
	return nil
}

// external decides which tests must stand outside their package.
func (a *applier) external() {
	for _, f := range a.w.order {
		if !f.Test {
			continue
		}
		whole := f.Ext || a.w.plan.ext[f.Path]
		all, any := true, false
		for _, u := range f.Units {
			if !u.Root {
				continue
			}
			any = true
			if whole {
				a.rootExt[u] = true
				continue
			}
			for v := range a.closure([]*Unit{u}) {
				for _, r := range v.Refs {
					if !r.To.Test && r.Qual && r.To.Target != f.Target && a.reaches(r.To.Target, f.Target) {
						a.rootExt[u] = true
					}
				}
			}
			all = all && a.rootExt[u]
		}
		a.fileExt[f] = whole || any && all
	}
}

func (a *applier) put(u *Unit, dest string, ext bool, base string) bool {
	k := dest
	if ext {
		k += "_test"
	}
	if a.placed[u] == nil {
		a.placed[u] = map[string]bool{}
	}
	if a.placed[u][k] {
		return false
	}
	a.placed[u][k] = true
	a.places = append(a.places, place{u, dest, ext, base})
	return true
}

func (a *applier) place() {
	for _, f := range a.w.order {
		if f.Test {
			continue
		}
		for _, u := range f.Units {
			base := f.NewBase
			if u.Base != "" {
				base = u.Base
			}
			a.put(u, u.Target, false, base)
		}
	}
	for _, f := range a.w.order {
		if !f.Test {
			continue
		}
		for _, ext := range []bool{false, true} {
			var roots []*Unit
			base := f.NewBase
			if ext && !a.fileExt[f] {
				base = strings.TrimSuffix(base, "_test.go") + "_whole_test.go"
			}
			for _, u := range f.Units {
				if u.Root && a.rootExt[u] == ext {
					roots = append(roots, u)
					a.put(u, f.Target, ext, base)
				}
			}
			cl := a.closure(roots)
			var list []*Unit
			for u := range cl {
				list = append(list, u)
			}
			sort.Slice(list, func(i, j int) bool { return list[i].ID < list[j].ID })
			for _, u := range list {
				if u.Root {
					continue
				}
				hb := u.File.NewBase
				switch {
				case u.File.Target == f.Target && a.fileExt[u.File] == ext:
				case u.File == f:
					hb = base
				case ext:
					hb = "shared_whole_test.go"
				default:
					hb = "shared_test.go"
				}
				a.put(u, f.Target, ext, hb)
			}
		}
	}
	for _, u := range a.w.units {
		if len(a.placed[u]) == 0 {
			a.problem("unused test helper dropped: %s:%s", u.File.Path, u.name())
		}
	}
	sort.SliceStable(a.places, func(i, j int) bool { return a.places[i].u.ID < a.places[j].u.ID })
}

var initialisms = []string{"json", "pdf", "xlsx", "html", "csv", "url", "svg", "inci", "cas", "id", "xml", "icc", "ec", "ttc"}

func exported(name string) string {
	for _, i := range initialisms {
		if name == i || strings.HasPrefix(name, i) && len(name) > len(i) && unicode.IsUpper(rune(name[len(i)])) {
			return strings.ToUpper(i) + name[len(i):]
		}
	}
	return strings.ToUpper(name[:1]) + name[1:]
}

func (a *applier) planName(u *Unit, name string) string {
	keys := []string{u.File.Path + ":" + u.name() + "." + name, u.File.Path + ":" + name}
	if u.Recv != "" && u.Names[0] == name {
		keys = []string{u.File.Path + ":" + u.name(), u.File.Path + ":" + name}
	}
	for _, k := range keys {
		if n, ok := a.w.plan.rename[k]; ok {
			return n
		}
	}
	return ""
}

// exports finds every unexported name that another package has to use.
func (a *applier) exports() {
	w := a.w
	need := map[string]bool{} // keys
	byTests := map[string]bool{}
	byTestsOf := map[string]int{} // 1 only by outside tests of its own package, 2 others
	for _, p := range a.places {
		for _, r := range p.u.Refs {
			if r.To.Test {
				continue
			}
			home := r.To.Target
			if home == p.dest && !p.ext {
				continue
			}
			if !r.Obj.Exported() {
				k := w.key(r.Obj)
				if p.u.Test {
					byTests[k] = true
					if home == p.dest {
						byTestsOf[k] |= 1
					} else {
						byTestsOf[k] |= 2
					}
				} else {
					need[k] = true
				}
			}
		}
		// the receiver type of a converted method
	}
	for k := range byTests {
		if !need[k] {
			if top := a.w.isTop(a.objs[k]) || a.convKey(k); top && byTestsOf[k] == 1 {
				a.alias[k] = true
				continue
			}
			need[k] = true
			a.testOnly[k] = true
		}
	}
	// interfaces with unexported methods that a type of another package implements
	type named struct {
		tn *types.TypeName
		u  *Unit
	}
	var ifaces, concretes []named
	for _, f := range w.order {
		for id, obj := range f.Info.Defs {
			tn, ok := obj.(*types.TypeName)
			if !ok || !w.isTop(tn) || w.fset.Position(id.Pos()).Filename != f.Abs {
				continue
			}
			u := w.unitAt(id.Pos())
			if u == nil {
				continue
			}
			if _, ok := tn.Type().Underlying().(*types.Interface); ok {
				ifaces = append(ifaces, named{tn, u})
			} else {
				concretes = append(concretes, named{tn, u})
			}
		}
	}
	for changed := true; changed; {
		changed = false
		for _, i := range ifaces {
			it := i.tn.Type().Underlying().(*types.Interface)
			for _, c := range concretes {
				if !types.Implements(c.tn.Type(), it) && !types.Implements(types.NewPointer(c.tn.Type()), it) {
					continue
				}
				for m := range it.Methods() {
					if m.Exported() {
						continue
					}
					obj, _, _ := types.LookupFieldOrMethod(types.NewPointer(c.tn.Type()), true, m.Pkg(), m.Name())
					if obj == nil {
						continue
					}
					mk, ok := w.key(m), w.key(obj)
					if (i.u.Target != c.u.Target && !c.u.Test || need[mk] || need[ok]) && (!need[mk] || !need[ok]) {
						need[mk], need[ok] = true, true
						a.objs[mk], a.objs[ok] = m, obj
						changed = true
					}
				}
			}
		}
	}
	for k := range need {
		obj := a.objs[k]
		u := w.unitAt(obj.Pos())
		n := a.planName(u, obj.Name())
		if n == "" {
			n = obj.Name()
		}
		n = exported(n)
		if v, ok := obj.(*types.Var); ok && v.Embedded() {
			continue // named by its type
		}
		a.final[k] = n
	}
	// converted methods
	for _, u := range w.units {
		if !u.FuncConv {
			continue
		}
		id := u.Decl.(*ast.FuncDecl).Name
		k := w.key(u.File.Info.Defs[id])
		a.objs[k] = u.File.Info.Defs[id]
		if n := a.planName(u, id.Name); n != "" {
			a.final[k] = n
		}
	}
	// plain renames of the plan
	for _, f := range w.order {
		for id, obj := range f.Info.Defs {
			if obj == nil || w.fset.Position(id.Pos()).Filename != f.Abs || !w.isTop(obj) {
				continue
			}
			if u := w.unitAt(id.Pos()); u != nil {
				if n := a.planName(u, id.Name); n != "" && a.final[w.key(obj)] == "" {
					a.final[w.key(obj)] = n
				}
			}
		}
	}
	// embedded fields follow their types
	if f, err := os.Create(filepath.Join(os.TempDir(), "exports.txt")); err == nil {
		var l []string
		for k := range need {
			t := ""
			if a.testOnly[k] {
				t = " (tests only)"
			}
			obj := a.objs[k]
			kind := strings.TrimPrefix(fmt.Sprintf("%T", obj), "*types.")
			if v, ok := obj.(*types.Var); ok && v.IsField() {
				kind = "Field"
			}
			l = append(l, fmt.Sprintf("%s %s %s:%s → %s%s", kind, w.unitAt(obj.Pos()).Target, w.unitAt(obj.Pos()).File.Path, obj.Name(), a.final[k], t))
		}
		sort.Strings(l)
		fmt.Fprintln(f, strings.Join(l, "\n"))
		f.Close()
	}
}

// unexport makes names small that no other package uses.
func (a *applier) unexport() {
	w := a.w
	usedOutside := map[string]bool{}
	for _, p := range a.places {
		for _, r := range p.u.Refs {
			if w.isTop(r.Obj) && (r.To.Target != p.dest || p.ext) {
				usedOutside[w.key(r.Obj)] = true
			}
		}
	}
	// every name declared or used inside a target, to stay clear of captures
	names := map[string]map[string]bool{}
	for _, p := range a.places {
		if names[p.dest] == nil {
			names[p.dest] = map[string]bool{}
		}
		ast.Inspect(p.u.Decl, func(n ast.Node) bool {
			if id, ok := n.(*ast.Ident); ok {
				names[p.dest][id.Name] = true
			}
			return true
		})
	}
	kept := []string{}
	for _, f := range w.order {
		if f.Test {
			continue
		}
		for _, u := range f.Units {
			if u.Method || u.Target == "testdata" || strings.HasPrefix(u.Target, "testdata/") || strings.HasPrefix(u.Target, "templates") || strings.HasPrefix(u.Target, "cmd/") {
				continue
			}
			for _, n := range u.Names {
				if !ast.IsExported(n) || w.plan.noUnexp[f.Path+":"+n] {
					continue
				}
				obj := f.Pkg.Types.Scope().Lookup(n)
				if obj == nil {
					continue
				}
				k := w.key(obj)
				if usedOutside[k] || a.final[k] != "" {
					continue
				}
				small := lower(n)
				if names[u.Target][small] || token.IsKeyword(small) || types.Universe.Lookup(small) != nil {
					kept = append(kept, u.Target+"."+n)
					continue
				}
				names[u.Target][small] = true
				a.final[k] = small
				a.objs[k] = obj
			}
		}
	}
	sort.Strings(kept)
	os.WriteFile(filepath.Join(os.TempDir(), "kept-exported.txt"), []byte(strings.Join(kept, "\n")+"\n"), 0o644)
}

func lower(n string) string {
	i := 0
	for i < len(n) && unicode.IsUpper(rune(n[i])) {
		i++
	}
	switch {
	case i == len(n):
		return strings.ToLower(n)
	case i > 1:
		return strings.ToLower(n[:i-1]) + n[i-1:]
	}
	return strings.ToLower(n[:1]) + n[1:]
}

func (a *applier) convKey(k string) bool {
	u := a.w.unitAt(a.objs[k].Pos())
	fn, ok := a.objs[k].(*types.Func)
	return ok && u != nil && u.FuncConv && u.Names[0] == fn.Name()
}

// nameIn is how a place calls obj.
func (a *applier) nameIn(p place, obj types.Object) string {
	n := a.nameOf(obj)
	if a.alias[a.w.key(obj)] && p.ext {
		return exported(n)
	}
	return n
}

func (a *applier) nameOf(obj types.Object) string {
	if v, ok := obj.(*types.Var); ok && v.Embedded() {
		t := v.Type()
		if p, ok := t.(*types.Pointer); ok {
			t = p.Elem()
		}
		if n, ok := t.(*types.Named); ok {
			return a.nameOf(n.Origin().Obj())
		}
	}
	if n := a.final[a.w.key(obj)]; n != "" {
		return n
	}
	return obj.Name()
}

func (a *applier) collisions() {
	w := a.w
	// functions made of methods: give names that do not clash
	taken := map[string]map[string]*Unit{}
	take := func(dest, name string, u *Unit) *Unit {
		if taken[dest] == nil {
			taken[dest] = map[string]*Unit{}
		}
		if old := taken[dest][name]; old != nil && old != u {
			return old
		}
		taken[dest][name] = u
		return nil
	}
	done := map[*Unit]bool{}
	for _, p := range a.places {
		if p.u.Method || done[p.u] {
			continue
		}
		done[p.u] = true
		if p.u.Test {
			continue
		}
		for _, n := range p.u.Names {
			if n == "_" || n == "init" {
				continue
			}
			obj := p.u.File.Pkg.Types.Scope().Lookup(n)
			if obj == nil {
				continue
			}
			if old := take(p.dest, a.nameOf(obj), p.u); old != nil {
				a.problem("COLLISION %s: %s of %s and of %s", p.dest, a.nameOf(obj), p.u.File.Path, old.File.Path)
			}
		}
	}
	// how many conversions want one name in one target
	count := map[string]int{}
	for _, u := range w.units {
		if u.FuncConv {
			count[u.Target+"|"+u.Names[0]]++
		}
	}
	for _, u := range w.units {
		if !u.FuncConv {
			continue
		}
		id := u.Decl.(*ast.FuncDecl).Name
		k := w.key(u.File.Info.Defs[id])
		n := a.final[k]
		if n == "" {
			n = id.Name
		}
		want := n
		// a local of the callers may hide it
		hidden := a.hiddenAtCalls(k, n, u)
		for _, v := range w.units {
			hidden = hidden || pkgName(v.Target) == n
		}
		if count[u.Target+"|"+u.Names[0]] > 1 || taken[u.Target][n] != nil || hidden {
			recv := strings.ToUpper(u.Recv[:1]) + u.Recv[1:]
			n = want + "Of" + recv
			if count[u.Target+"|"+u.Names[0]] > 1 && !hidden {
				n = want + recv
			}
		}
		if old := take(u.Target, n, u); old != nil {
			a.problem("COLLISION of converted %s in %s: %s", u.name(), u.Target, n)
		}
		a.final[k] = n
	}
}

// hiddenAtCalls says whether a function of the name would be hidden by a local
// where the method is called inside its own package.
func (a *applier) hiddenAtCalls(key, name string, u *Unit) bool {
	for _, p := range a.places {
		if p.dest != u.Target || p.ext {
			continue
		}
		for _, r := range p.u.Refs {
			if r.To == u && a.w.key(r.Obj) == key {
				if o := a.lookup(p.u.File, name, r.Ident.Pos()); o != nil && !a.w.isTop(o) && o.Parent() != types.Universe {
					if _, pkg := o.(*types.PkgName); !pkg {
						return true
					}
				}
			}
		}
	}
	return false
}

func (a *applier) lookup(f *File, name string, pos token.Pos) types.Object {
	s := f.Pkg.Types.Scope().Innermost(pos)
	if s == nil {
		return nil
	}
	_, obj := s.LookupParent(name, pos)
	return obj
}

// qualifier is the package name to put before obj at a place; "" for none.
func (a *applier) qualifier(p place, to *Unit) string {
	if to.Test {
		return ""
	}
	if to.Target == p.dest && !p.ext {
		return ""
	}
	return pkgName(to.Target)
}

func pkgName(dir string) string {
	if dir == "cmd/gallipot" || strings.HasPrefix(dir, "testdata/") && dir != "testdata" {
		if dir == "cmd/gallipot" {
			return "main"
		}
	}
	return filepath.Base(dir)
}

func (a *applier) shadows() {
	w := a.w
	where := map[string]int{}
	for _, p := range a.places {
		for _, r := range p.u.Refs {
			if !r.Qual {
				continue
			}
			q := a.qualifier(p, r.To)
			if q == "" {
				continue
			}
			o := a.lookup(p.u.File, q, r.Ident.Pos())
			if o == nil || o.Parent() == types.Universe {
				continue
			}
			if _, ok := o.(*types.PkgName); ok {
				continue
			}
			if w.isTop(o) {
				ou := w.unitAt(o.Pos())
				if ou != nil && (ou.Target == p.dest && !p.ext || ou.Test) && a.nameOf(o) == q {
					a.problem("PACKAGE NAME %s hidden by %s:%s in %s", q, ou.File.Path, o.Name(), p.dest)
				}
				continue
			}
			k := w.key(o)
			if a.localName[k] != "" {
				continue
			}
			n := w.plan.local[q]
			if n == "" {
				n = q + "Here"
				where["LOCAL "+q+" needs a name"]++
			}
			if o2 := a.lookup(p.u.File, n, r.Ident.Pos()); o2 != nil {
				n += "Here"
			}
			a.localName[k] = n
		}
	}
	// an imported package hidden by a package-level name of the destination
	for s, n := range where {
		a.problem("%s (%d)", s, n)
	}
}

type edit struct {
	start, end int
	text       string
	prio       int // at the same place, higher first
}

type chunk struct {
	text    string
	imports map[string]string // path → alias or ""
	embed   bool
	order   int
}

func (a *applier) render(p place) chunk {
	w, u, f := a.w, p.u, p.u.File
	c := chunk{imports: map[string]string{}, order: u.ID}
	var edits []edit
	say := func(start, end token.Pos, text string, prio int) {
		edits = append(edits, edit{w.off(start), w.off(end), text, prio})
	}
	imp := func(dir string) {
		c.imports[module+"/"+dir] = ""
	}
	skip := map[*ast.Ident]bool{}
	var recvFrom, recvTo token.Pos
	calls := map[*ast.SelectorExpr]*ast.CallExpr{}
	ast.Inspect(u.Decl, func(n ast.Node) bool {
		if call, ok := n.(*ast.CallExpr); ok {
			if s, ok := call.Fun.(*ast.SelectorExpr); ok {
				calls[s] = call
			}
		}
		return true
	})
	typeText := func(t types.Type) string { return a.typeString(t, p, imp) }

	if d, ok := u.Decl.(*ast.FuncDecl); ok && u.FuncConv {
		recvFrom, recvTo = d.Recv.Pos(), d.Recv.End()
		name := "_"
		if len(d.Recv.List[0].Names) > 0 {
			id := d.Recv.List[0].Names[0]
			name = id.Name
			if n := a.localName[w.key(f.Info.Defs[id])]; n != "" {
				name = n
			}
		}
		t := typeText(f.Info.TypeOf(d.Recv.List[0].Type))
		say(d.Recv.Pos(), d.Name.Pos(), "", 0)
		text := name + " " + t
		if d.Type.Params.NumFields() > 0 {
			text += ", "
		}
		say(d.Type.Params.Opening+1, d.Type.Params.Opening+1, text, 1<<30)
	}
	inRecv := func(pos token.Pos) bool { return recvFrom.IsValid() && pos >= recvFrom && pos < recvTo }

	convOf := func(s *ast.SelectorExpr) (*types.Func, *Unit) {
		fn, ok := f.Info.Uses[s.Sel].(*types.Func)
		if !ok {
			return nil, nil
		}
		fn = fn.Origin()
		to := w.unitAt(fn.Pos())
		if to == nil || !to.FuncConv || to.Names[0] != fn.Name() {
			return nil, nil
		}
		return fn, to
	}
	qualified := func(obj types.Object, to *Unit) string {
		name := a.nameIn(p, obj)
		if q := a.qualifier(p, to); q != "" {
			imp(to.Target)
			return q + "." + name
		}
		return name
	}

	ast.Inspect(u.Decl, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.StructType:
			tagged := false
			for _, fl := range n.Fields.List {
				tagged = tagged || fl.Tag != nil && strings.Contains(fl.Tag.Value, "json:")
			}
			if tagged {
				for _, fl := range n.Fields.List {
					changed := false
					for _, id := range fl.Names {
						if o := f.Info.Defs[id]; o != nil && !o.Exported() && ast.IsExported(a.nameOf(o)) {
							changed = true
						}
					}
					if changed && fl.Tag == nil {
						say(fl.Type.End(), fl.Type.End(), " `json:\"-\"`", 1<<27)
					}
				}
			}
		case *ast.CompositeLit:
			a.keyLiteral(p, f, n, &edits)
		case *ast.BasicLit:
			if n.Kind == token.STRING && u.Test && (strings.HasPrefix(n.Value, "\"../") || n.Value == "\"..\"") && n.Value != "\"../../etc\"" {
				oldDir := filepath.Dir(filepath.Join(w.repo, f.Path))
				val := n.Value[1 : len(n.Value)-1]
				tail := ""
				if strings.HasSuffix(val, "/") {
					tail = "/"
				}
				rel, err := filepath.Rel(filepath.Join(w.repo, p.dest), filepath.Join(oldDir, val))
				check(err)
				say(n.Pos(), n.End(), "\""+filepath.ToSlash(rel)+tail+"\"", 0)
			}
		case *ast.SelectorExpr:
			// package-qualified
			if x, ok := n.X.(*ast.Ident); ok {
				if pn, ok := f.Info.Uses[x].(*types.PkgName); ok {
					obj := f.Info.Uses[n.Sel]
					to := w.unitAt(obj.Pos())
					if to == nil || !strings.HasPrefix(pn.Imported().Path(), module) {
						alias := ""
						if x.Name != pn.Imported().Name() || strings.HasSuffix(pn.Imported().Path(), "yaml") {
							alias = x.Name
						}
						c.imports[pn.Imported().Path()] = alias
						if alias == pn.Imported().Name() {
							c.imports[pn.Imported().Path()] = ""
						}
						skip[x], skip[n.Sel] = true, true
						return false
					}
					say(x.Pos(), n.Sel.End(), qualified(obj, to), int(n.End()-x.Pos()))
					skip[x], skip[n.Sel] = true, true
					return false
				}
			}
			if fn, to := convOf(n); fn != nil {
				skip[n.Sel] = true
				name := qualified(fn, to)
				sel := f.Info.Selections[n]
				recv := fn.Type().(*types.Signature).Recv().Type()
				_, wantPtr := recv.(*types.Pointer)
				if sel.Kind() == types.MethodExpr {
					say(n.Pos(), n.End(), name, 1<<28)
					// the type inside is gone; skip its idents
					ast.Inspect(n.X, func(m ast.Node) bool {
						if id, ok := m.(*ast.Ident); ok {
							skip[id] = true
						}
						return true
					})
					return false
				}
				// path through embedded fields
				t := f.Info.TypeOf(n.X)
				path := ""
				idx := sel.Index()
				for _, i := range idx[:len(idx)-1] {
					if q, ok := t.Underlying().(*types.Pointer); ok {
						t = q.Elem()
					}
					st := t.Underlying().(*types.Struct)
					fl := st.Field(i)
					path += "." + a.nameOf(fl.Origin())
					t = fl.Type()
				}
				_, isPtr := t.Underlying().(*types.Pointer)
				adj := ""
				switch {
				case wantPtr && !isPtr:
					adj = "&"
				case !wantPtr && isPtr:
					adj = "*"
				}
				if call := calls[n]; call != nil {
					say(n.X.Pos(), n.X.Pos(), name+"("+adj, int(call.End()-n.X.Pos())*2+1)
					text := path
					if len(call.Args) > 0 {
						text += ", "
					}
					say(n.X.End(), call.Lparen+1, text, 0)
				} else {
					sig := f.Info.TypeOf(n).(*types.Signature)
					var params, args []string
					for i := range sig.Params().Len() {
						nm := fmt.Sprintf("p%d", i)
						if v := sig.Params().At(i); v.Name() != "" && v.Name() != "_" {
							nm = v.Name()
						}
						args = append(args, nm)
						params = append(params, nm+" "+typeText(sig.Params().At(i).Type()))
					}
					var res []string
					for i := range sig.Results().Len() {
						res = append(res, typeText(sig.Results().At(i).Type()))
					}
					rt := strings.Join(res, ", ")
					if len(res) > 1 {
						rt = "(" + rt + ")"
					}
					ret := "return "
					if len(res) == 0 {
						ret = ""
					}
					say(n.X.Pos(), n.X.Pos(), "func("+strings.Join(params, ", ")+") "+rt+" { "+ret+name+"("+adj, int(n.End()-n.X.Pos())*2+1)
					text := path
					if len(args) > 0 {
						text += ", " + strings.Join(args, ", ")
					}
					say(n.X.End(), n.End(), text+") }", 0)
				}
				return true
			}
		case *ast.Ident:
			if skip[n] || inRecv(n.Pos()) {
				return true
			}
			obj := f.Info.Uses[n]
			def := false
			if obj == nil {
				obj = f.Info.Defs[n]
				def = true
			}
			if obj == nil {
				return true
			}
			obj = origin(obj)
			if pn, ok := obj.(*types.PkgName); ok {
				_ = pn
				return true
			}
			k := w.key(obj)
			if ln := a.localName[k]; ln != "" {
				say(n.Pos(), n.End(), ln, int(n.End()-n.Pos()))
				// {x: x} shorthand does not exist in Go
				return true
			}
			to := w.unitAt(obj.Pos())
			if to == nil {
				return true
			}
			if v, ok := obj.(*types.Var); ok && v.Embedded() && def {
				return true
			}
			if w.isTop(obj) {
				text := a.nameOf(obj)
				if !def {
					text = qualified(obj, to)
				}
				if text != n.Name {
					say(n.Pos(), n.End(), text, int(n.End()-n.Pos()))
				}
				return true
			}
			// fields and methods
			if name := a.nameOf(obj); name != n.Name {
				isMember := false
				switch o := obj.(type) {
				case *types.Var:
					isMember = o.IsField()
				case *types.Func:
					isMember = true
				}
				if isMember {
					say(n.Pos(), n.End(), name, int(n.End()-n.Pos()))
				}
			}
		}
		return true
	})
	// name in the doc comment
	if doc := docOf(u.Decl); doc != nil && len(u.Names) > 0 {
		old := u.Names[0]
		var obj types.Object
		if d, ok := u.Decl.(*ast.FuncDecl); ok {
			obj = f.Info.Defs[d.Name]
		} else {
			obj = f.Pkg.Types.Scope().Lookup(old)
		}
		if obj != nil {
			if name := a.nameOf(obj); name != old {
				for _, pre := range []string{"// " + old + " "} {
					if strings.HasPrefix(doc.List[0].Text, pre) {
						s := w.off(doc.List[0].Pos()) + 3
						edits = append(edits, edit{s, s + len(old), name, 0})
					}
				}
			}
		}
	}
	src := f.Src
	sort.SliceStable(edits, func(i, j int) bool {
		if edits[i].start != edits[j].start {
			return edits[i].start < edits[j].start
		}
		// insertions before replacements; wider first
		ii, jj := edits[i].start == edits[i].end, edits[j].start == edits[j].end
		if ii != jj {
			return ii
		}
		return edits[i].prio > edits[j].prio
	})
	var b strings.Builder
	at := u.Start
	for _, e := range edits {
		if e.start < at {
			if e.start == e.end && e.start == at {
			} else {
				a.problem("OVERLAP in %s:%s at %d: %q", f.Path, u.name(), e.start, e.text)
				continue
			}
		}
		b.Write(src[at:e.start])
		b.WriteString(e.text)
		at = e.end
	}
	b.Write(src[at:u.End])
	c.text = strings.Trim(b.String(), "\n")
	c.embed = strings.Contains(c.text, "//go:embed")
	return c
}

func docOf(d ast.Decl) *ast.CommentGroup {
	switch d := d.(type) {
	case *ast.FuncDecl:
		return d.Doc
	case *ast.GenDecl:
		if d.Doc != nil {
			return d.Doc
		}
		if len(d.Specs) == 1 {
			switch s := d.Specs[0].(type) {
			case *ast.TypeSpec:
				return s.Doc
			case *ast.ValueSpec:
				return s.Doc
			}
		}
	}
	return nil
}

// keyLiteral names the fields of a literal whose type lives elsewhere.
func (a *applier) keyLiteral(p place, f *File, lit *ast.CompositeLit, edits *[]edit) {
	if len(lit.Elts) == 0 {
		return
	}
	if _, ok := lit.Elts[0].(*ast.KeyValueExpr); ok {
		return
	}
	t := f.Info.TypeOf(lit)
	if t == nil {
		return
	}
	if q, ok := t.Underlying().(*types.Pointer); ok {
		t = q.Elem()
	}
	n, ok := t.(*types.Named)
	if !ok {
		return
	}
	st, ok := n.Underlying().(*types.Struct)
	if !ok {
		return
	}
	to := a.w.unitAt(n.Obj().Pos())
	if to == nil || to.Test || to.Target == p.dest && !p.ext {
		return
	}
	for i, e := range lit.Elts {
		fl := st.Field(i)
		o := a.w.off(e.Pos())
		*edits = append(*edits, edit{o, o, a.nameOf(fl.Origin()) + ": ", 1 << 29})
	}
}

func (a *applier) typeString(t types.Type, p place, imp func(string)) string {
	switch t := t.(type) {
	case *types.Alias:
		return a.typeString(types.Unalias(t), p, imp)
	case *types.Pointer:
		return "*" + a.typeString(t.Elem(), p, imp)
	case *types.Slice:
		return "[]" + a.typeString(t.Elem(), p, imp)
	case *types.Map:
		return "map[" + a.typeString(t.Key(), p, imp) + "]" + a.typeString(t.Elem(), p, imp)
	case *types.Named:
		to := a.w.unitAt(t.Obj().Pos())
		if to == nil {
			if t.Obj().Pkg() == nil {
				return t.Obj().Name()
			}
			a.problem("type from outside: %s", t)
			return t.Obj().Pkg().Name() + "." + t.Obj().Name()
		}
		if q := a.qualifier(p, to); q != "" {
			imp(to.Target)
			return q + "." + a.nameOf(t.Obj())
		}
		return a.nameOf(t.Obj())
	}
	return types.TypeString(t, nil)
}

func (a *applier) write(out string) {
	w := a.w
	type outFile struct {
		dir, base string
		ext       bool
		chunks    []chunk
		header    string
	}
	files := map[string]*outFile{}
	headers := map[string]string{}
	for _, p := range a.places {
		k := p.dest + "/" + p.base
		of := files[k]
		if of == nil {
			of = &outFile{dir: p.dest, base: p.base, ext: p.ext}
			files[k] = of
			headers[k] = headerOf(p.u.File)
		}
		if of.ext != p.ext {
			a.problem("FILE %s mixes internal and external tests", k)
		}
		of.chunks = append(of.chunks, a.render(p))
	}
	aliases := map[string][]string{}
	for k := range a.alias {
		obj := a.objs[k]
		u := w.unitAt(obj.Pos())
		n := a.nameOf(obj)
		word := "var"
		eq := " = "
		switch obj.(type) {
		case *types.Const:
			word = "const"
		case *types.TypeName:
			word = "type"
		}
		aliases[u.Target] = append(aliases[u.Target], word+" "+exported(n)+eq+n)
	}
	for dir, l := range aliases {
		sort.Strings(l)
		k := dir + "/export_test.go"
		files[k] = &outFile{dir: dir, base: "export_test.go", chunks: []chunk{{text: "// What the tests that stand outside this package look at.\n\n" + strings.Join(l, "\n"), imports: map[string]string{}}}}
	}
	// files without declarations
	for _, f := range w.order {
		if len(f.Units) == 0 {
			k := f.Target + "/" + f.NewBase
			if files[k] == nil {
				files[k] = &outFile{dir: f.Target, base: f.NewBase, ext: a.fileExt[f]}
				headers[k] = string(f.Src)
			}
		}
	}
	if out == "" {
		fmt.Println("files:", len(files))
		return
	}
	// remove all loaded files, then write
	for _, f := range w.order {
		os.Remove(filepath.Join(out, f.Path))
	}
	var keys []string
	for k := range files {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		of := files[k]
		name := filepath.Base(of.dir)
		if of.dir == "cmd/gallipot" || strings.HasPrefix(of.dir, "testdata/") {
			name = originalName(w, of.dir, name)
		}
		if of.ext {
			name += "_test"
		}
		var b strings.Builder
		if len(of.chunks) == 0 {
			src := headers[k]
			b.WriteString(src)
		} else {
			b.WriteString(headers[k])
			b.WriteString("package " + name + "\n\n")
			imps := map[string]string{}
			embed := false
			for _, c := range of.chunks {
				for p, al := range c.imports {
					imps[p] = al
				}
				embed = embed || c.embed
			}
			if embed {
				if _, ok := imps["embed"]; !ok {
					imps["embed"] = "_"
				}
			}
			delete(imps, module+"/"+of.dir)
			if of.ext {
				for _, c := range of.chunks {
					if _, ok := c.imports[module+"/"+of.dir]; ok {
						imps[module+"/"+of.dir] = ""
					}
				}
			}
			b.WriteString(importBlock(imps))
			for _, c := range of.chunks {
				b.WriteString(c.text)
				b.WriteString("\n\n")
			}
		}
		text, err := format.Source([]byte(b.String()))
		if err != nil {
			a.problem("FORMAT %s: %v", k, err)
			text = []byte(b.String())
		}
		file := filepath.Join(out, of.dir, of.base)
		check(os.MkdirAll(filepath.Dir(file), 0o755))
		check(os.WriteFile(file, text, 0o644))
	}
	for _, abs := range w.passive {
		rel := w.rel(abs)
		t, ok := w.plan.file[rel]
		if !ok {
			continue
		}
		src, err := os.ReadFile(filepath.Join(out, rel))
		check(err)
		base := filepath.Base(rel)
		if bb := w.plan.base[rel]; bb != "" {
			base = bb
		}
		os.Remove(filepath.Join(out, rel))
		old := "package " + filepath.Base(filepath.Dir(rel))
		text := strings.Replace(string(src), old, "package "+filepath.Base(t), 1)
		check(os.WriteFile(filepath.Join(out, t, base), []byte(text), 0o644))
		a.problem("passive file %s: look at it", rel)
	}
}

func originalName(w *World, dir, def string) string {
	for _, f := range w.order {
		if filepath.ToSlash(filepath.Dir(f.Path)) == dir {
			return strings.TrimSuffix(f.AST.Name.Name, "_test")
		}
	}
	return def
}

func headerOf(f *File) string {
	// build constraints and package doc
	head := string(f.Src[:f.Lines.Offset(f.AST.Package)])
	return head
}

func importBlock(imps map[string]string) string {
	if len(imps) == 0 {
		return ""
	}
	var std, other, own []string
	for p, al := range imps {
		line := fmt.Sprintf("%q", p)
		if al != "" {
			line = al + " " + line
		}
		switch {
		case strings.HasPrefix(p, module+"/"):
			own = append(own, line)
		case strings.Contains(strings.Split(p, "/")[0], "."):
			other = append(other, line)
		default:
			std = append(std, line)
		}
	}
	var groups []string
	for _, g := range [][]string{std, other, own} {
		if len(g) == 0 {
			continue
		}
		sort.Slice(g, func(i, j int) bool { return g[i][strings.Index(g[i], `"`):] < g[j][strings.Index(g[j], `"`):] })
		groups = append(groups, "\t"+strings.Join(g, "\n\t"))
	}
	return "import (\n" + strings.Join(groups, "\n\n") + "\n)\n\n"
}
